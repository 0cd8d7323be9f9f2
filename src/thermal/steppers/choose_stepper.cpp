#include "bakewright/thermal/steppers/choose_stepper.hpp"

#include <algorithm>
#include <cmath>

#include "bakewright/base/error.hpp"
#include "bakewright/thermal/steppers/sparse_lu_program.hpp"

namespace bakewright::thermal {

namespace {
constexpr double kRosenbrockSteps = 60.0;
constexpr double kChebyshevSteps = 450.0;
}  // namespace

StepperKind choose_stepper(const SparsityPattern& pattern, double spectral_radius_per_s, double span_s) {
    ensure(spectral_radius_per_s >= 0.0 && std::isfinite(spectral_radius_per_s), "a spectral radius is finite and not negative");
    ensure(span_s > 0.0 && std::isfinite(span_s), "a run has a length");
    const SparseLuProgram program(pattern);
    const double rates = 10.0 * static_cast<double>(pattern.entry_count());
    const double rosenbrock = kRosenbrockSteps * (7.0 * rates + static_cast<double>(program.operation_count()) +
                                                  12.0 * static_cast<double>(program.place_count()));
    const double stages = std::max(2.0, std::sqrt(1.54 * spectral_radius_per_s * span_s / kChebyshevSteps + 1.0));
    return rosenbrock <= kChebyshevSteps * stages * rates ? StepperKind::rosenbrock : StepperKind::chebyshev;
}

double tolerance_for_error(StepperKind kind, double largest_error) {
    ensure(largest_error > 0.0 && std::isfinite(largest_error), "a largest error is positive");
    return kind == StepperKind::rosenbrock ? 2.0 * largest_error : largest_error / 20.0;
}

}  // namespace bakewright::thermal
