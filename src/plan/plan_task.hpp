#pragma once

#include <vector>

#include "bakewright/plan/plan.hpp"

namespace bakewright::plan {

/// @throws InputError for records or options with problems, and for a shell without a coated zone
void refuse_problems(const PlanTask& task, const PlanOptions& options);
/// The grid of set points [K] that can be set, rising.
[[nodiscard]] std::vector<double> setpoints_to_try(const PlanTask& task, const PlanOptions& options);

}  // namespace bakewright::plan
