#pragma once

#include <string>
#include <vector>

#include "bakewright/report/text.hpp"
#include "bakewright/tune/causes.hpp"

namespace bakewright::report {

/// "films 0.85 times as strong as stated would take away 92 % of it": one sentence a cause.
[[nodiscard]] std::string cause_text(const std::vector<tune::Cause>& causes, const TextOptions& options);
/// The document of a comparison with `causes`.
[[nodiscard]] std::string with_causes(const std::string& document, const std::vector<tune::Cause>& causes);

}  // namespace bakewright::report
