#pragma once

#include <cstddef>
#include <vector>

namespace bakewright::thermal {

/// Stage j of a Runge-Kutta-Chebyshev method, written for the distance D_j from the start of the step (the paper's Y_j is
/// y + D_j; since its weights of y sum to zero against the rest, y itself drops out and rounding stays small in float packs):
///
///     D_j = mu D_(j-1) + nu D_(j-2) + mu_rate h f(t + c_(j-1) h, y + D_(j-1)) + gamma_rate h f(t, y)
struct ChebyshevStage {
    double mu, nu, mu_rate, gamma_rate;
    double c;  ///< the stage stands for the time t + c h
};

/// Stages 1 up to stage_count of the second-order method with damping 2/13.
/// @param stage_count  at least 2
/// Source: Sommeijer, Shampine & Verwer, RKC: an explicit solver for parabolic PDEs, J. Comput. Appl. Math. 88 (1998) 315,
/// section 2.
[[nodiscard]] std::vector<ChebyshevStage> chebyshev_stages(std::size_t stage_count);

/// The fewest stages that are stable for a step: h times the spectral radius of the Jacobian, eigenvalues near the negative
/// real axis. At least 2; 2 also where the product is not finite. Source: the same, section 3.
[[nodiscard]] std::size_t chebyshev_stage_count(double step_times_radius);

}  // namespace bakewright::thermal
