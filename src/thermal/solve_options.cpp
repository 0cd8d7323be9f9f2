// SPDX-License-Identifier: Apache-2.0
#include "bakewright/thermal/solve_options.hpp"

#include <cmath>

#include "bakewright/base/error.hpp"

namespace bakewright::thermal {

void SolveOptions::check() const {
    ensure(relative_tolerance >= 1e-12 && relative_tolerance <= 1e-2, "the relative tolerance is 1e-12 to 1e-2");
    ensure(absolute_tolerance_k >= 1e-9 && absolute_tolerance_k <= 1.0, "the absolute tolerance is 1e-9 to 1 K");
    ensure(std::isfinite(output_interval_s) && output_interval_s > 0.0, "the output interval is positive");
    ensure(largest_step_count > 0, "the ceiling on steps is positive");
}

}  // namespace bakewright::thermal
