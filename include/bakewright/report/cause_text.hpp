#pragma once

#include <string>
#include <vector>

#include "bakewright/report/json.hpp"
#include "bakewright/report/text.hpp"
#include "bakewright/tune/causes.hpp"

namespace bakewright::report {

/// "films 0.85 times as strong as stated would take away 92 % of it": one sentence a cause.
[[nodiscard]] std::string cause_text(const std::vector<tune::Cause>& causes, const TextOptions& options);
[[nodiscard]] Json json_of(const std::vector<tune::Cause>& causes);

}  // namespace bakewright::report
