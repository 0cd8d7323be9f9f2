// SPDX-License-Identifier: Apache-2.0
#include "bakewright/builder/warm_up.hpp"

#include <cmath>

#include "bakewright/base/error.hpp"

namespace bakewright::builder {

double steady_rise_k(const EmptyBooth& booth, double power_w) {
    const double h = booth.film_w_per_m2_k, u = booth.wall_loss_w_per_m2_k;
    return power_w / (booth.fresh_air_w_per_k + booth.wall_area_m2 * h * u / (h + u));
}

double rise_k(const EmptyBooth& booth, double power_w, double time_s) {
    // x' = M x + (p / C_a, 0): x = x_s + k1 v1 exp(l1 t) + k2 v2 exp(l2 t), real eigenvalues since M is similar to a symmetric
    // one.
    const double ha = booth.film_w_per_m2_k * booth.wall_area_m2, ua = booth.wall_loss_w_per_m2_k * booth.wall_area_m2;
    const double m11 = -(booth.fresh_air_w_per_k + ha) / booth.air_j_per_k, m12 = ha / booth.air_j_per_k;
    const double m21 = ha / booth.wall_j_per_k, m22 = -(ha + ua) / booth.wall_j_per_k;
    const double middle = 0.5 * (m11 + m22), half = std::sqrt(0.25 * (m11 - m22) * (m11 - m22) + m12 * m21);
    const double fast = middle - half, slow = middle + half;
    ensure(slow < 0.0, "an empty booth loses heat to outside");
    const double air_k = steady_rise_k(booth, power_w), wall_k = air_k * ha / (ha + ua);
    // Eigenvectors (m12, l - m11); their sum is -x_s at the start.
    const double first = (-wall_k * m12 + air_k * (slow - m11)) / (m12 * (fast - slow));
    const double second = -air_k / m12 - first;
    return air_k + m12 * (first * std::exp(fast * time_s) + second * std::exp(slow * time_s));
}

double power_for_rise_w(const EmptyBooth& booth, double rise, double time_s) { return rise / rise_k(booth, 1.0, time_s); }

}  // namespace bakewright::builder
