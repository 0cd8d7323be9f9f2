#include "bakewright/thermal/steppers/step_options.hpp"

#include <cmath>

#include "bakewright/base/error.hpp"
#include "bakewright/thermal/steppers/integrate_segment.hpp"

namespace bakewright::thermal {

void StepOptions::check() const {
    ensure(absolute_tolerance >= 0.0 && std::isfinite(absolute_tolerance), "an absolute tolerance is finite and not negative");
    ensure(relative_tolerance >= 0.0 && relative_tolerance < 1.0, "a relative tolerance lies between 0 and 1");
    ensure(absolute_tolerance + relative_tolerance > 0.0, "one of the tolerances is positive");
    ensure(first_step_s >= 0.0 && std::isfinite(first_step_s), "a first step is finite and not negative");
    ensure(smallest_step_s > 0.0 && std::isfinite(smallest_step_s), "a smallest step is positive");
    ensure(largest_step_s > smallest_step_s, "the largest step is above the smallest");
    ensure(step_ceiling > 0, "a ceiling on steps is positive");
}

namespace detail {

WorkCounts difference(const WorkCounts& after, const WorkCounts& before) {
    return {after.accepted_steps - before.accepted_steps, after.rejected_steps - before.rejected_steps,
            after.rate_evaluations - before.rate_evaluations, after.jacobian_evaluations - before.jacobian_evaluations,
            after.factorisations - before.factorisations};
}

}  // namespace detail

}  // namespace bakewright::thermal
