#pragma once

#include <cstddef>

#include "bakewright/thermal/steppers/sparsity_pattern.hpp"

namespace bakewright::thermal {

enum class StepperKind {
    rosenbrock,  ///< RosenbrockStepper
    chebyshev    ///< ChebyshevStepper
};

/// Which stepper does a run with less arithmetic. The estimate behind it, in multiplications, is
///
///     Rosenbrock:  60 steps of (7 w + operations of a factorisation + 12 places of the factors)
///     Chebyshev:  450 steps of s w,  s = max(2, sqrt(1.54 radius span / 450 + 1))
///
/// with w = 10 a non-zero of the Jacobian for one evaluation of the rates. The numbers of steps are those measured for a bake of
/// three hours in six segments at 0.01 K (docs/solvers.md). So it is the Rosenbrock stepper where the factors stay sparse or the
/// network is stiff, and the Chebyshev stepper where neither is so: hundreds of faces that all exchange heat with each other.
/// The rule is the same for one run and for packs, whose lanes do the same arithmetic side by side.
/// @param spectral_radius_per_s  of the Jacobian at the start (SpectralRadius, or a bound), >= 0
/// @param span_s                 length of the run [s], > 0
/// @throws PromiseError where a number is outside its range
[[nodiscard]] StepperKind choose_stepper(const SparsityPattern& pattern, double spectral_radius_per_s, double span_s);

/// Tolerance (StepOptions::absolute_tolerance) with which the largest error of a whole run came out below the one wanted, on the
/// networks of docs/solvers.md: twice it for the Rosenbrock stepper, a twentieth for the Chebyshev stepper. Measured, not a
/// bound.
/// @param largest_error  > 0, in the unit of the state
/// @throws PromiseError where it is not
[[nodiscard]] double tolerance_for_error(StepperKind kind, double largest_error);

}  // namespace bakewright::thermal
