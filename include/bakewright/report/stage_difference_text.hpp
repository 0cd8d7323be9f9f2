#pragma once

#include <string>
#include <vector>

#include "bakewright/report/text.hpp"
#include "bakewright/tune/compare.hpp"

namespace bakewright::report {

/// A table of differences by channel and stage; empty where there are none.
[[nodiscard]] std::string stage_difference_text(const std::vector<tune::StageDifference>& differences,
                                                const TextOptions& options);
/// The document of a comparison with `stages`.
[[nodiscard]] std::string with_stage_differences(const std::string& document,
                                                 const std::vector<tune::StageDifference>& differences);

}  // namespace bakewright::report
