#pragma once

#include <algorithm>
#include <string>
#include <vector>

#include "bakewright/plan/plan.hpp"

namespace bakewright::plan {

/// @throws InputError for records or options with problems, and for a shell without a coated zone
void refuse_problems(const PlanTask& task, const PlanOptions& options);
/// The grid of set points [K] that can be set, rising.
[[nodiscard]] std::vector<double> setpoints_to_try(const PlanTask& task, const PlanOptions& options);

[[nodiscard]] inline bool stands_in(const std::vector<std::string>& names, const std::string& name) {
    return std::find(names.begin(), names.end(), name) != names.end();
}

}  // namespace bakewright::plan
