#pragma once

#include <cstddef>
#include <limits>

namespace bakewright::thermal {

/// How exactly and how patiently to step.
///
/// A step is accepted when every component's error estimate is at most absolute_tolerance + relative_tolerance |y|; the larger
/// of |y| before and after the step counts. The largest component (and lane) decides, not a mean: one thin zone matters as much
/// as forty heavy ones.
struct StepOptions {
    /// In the unit of y; for temperatures [K]. >= 0, one of the two > 0. The default kept whole bakes within 0.005 K with the
    /// Rosenbrock stepper, not with the Chebyshev stepper: see tolerance_for_error().
    double absolute_tolerance = 1e-2;
    double relative_tolerance = 0.0;                                  ///< >= 0
    double first_step_s = 0.0;                                        ///< 0: worked out from the rates and their change
    double largest_step_s = std::numeric_limits<double>::infinity();  ///< > 0
    double smallest_step_s = 1e-6;        ///< a rejected step that would have to shrink below it ends the run. > 0
    std::size_t step_ceiling = 100000;    ///< accepted and rejected steps of one integration after which the run ends. > 0
    bool ceiling_spans_restarts = false;  ///< counts the steps since the stepper was made, not since its last initialize()

    /// @throws PromiseError where a number is outside its range
    void check() const;
};

/// Work done so far.
struct WorkCounts {
    std::size_t accepted_steps = 0;
    std::size_t rejected_steps = 0;
    std::size_t rate_evaluations = 0;
    std::size_t jacobian_evaluations = 0;
    std::size_t factorisations = 0;
};

}  // namespace bakewright::thermal
