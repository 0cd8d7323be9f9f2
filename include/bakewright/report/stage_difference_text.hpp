#pragma once

#include <string>
#include <vector>

#include "bakewright/report/json.hpp"
#include "bakewright/report/text.hpp"
#include "bakewright/tune/compare.hpp"

namespace bakewright::report {

/// A table of differences by channel and stage; empty where there are none.
[[nodiscard]] std::string stage_difference_text(const std::vector<tune::StageDifference>& differences,
                                                const TextOptions& options);
[[nodiscard]] Json json_of(const std::vector<tune::StageDifference>& differences);

}  // namespace bakewright::report
