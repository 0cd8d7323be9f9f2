#pragma once

#include <string>

#include "bakewright/plan/sequence.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/text.hpp"

namespace bakewright::report {

/// One row a bake; what coats and items have left after each; for a sequence that does not work out, what stands against the bake
/// it ends with.
[[nodiscard]] std::string sequence_text(const plan::SequencePlan& plan, const TextOptions& options);
/// Document "bakewright.sequence", see docs/json.md.
[[nodiscard]] Json document_of(const plan::SequencePlan& plan);

}  // namespace bakewright::report
