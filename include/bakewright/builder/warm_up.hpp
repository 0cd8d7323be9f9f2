// SPDX-License-Identifier: Apache-2.0
#pragma once

namespace bakewright::builder {

/// An empty booth that is heated: air and inner walls, each at one temperature, over what is outside.
///     C_a a' = p - F a - h A (a - w),   C_w w' = h A (a - w) - U A w
struct EmptyBooth {
    double air_j_per_k = 0.0;           ///< C_a > 0
    double wall_j_per_k = 0.0;          ///< C_w > 0
    double fresh_air_w_per_k = 0.0;     ///< F >= 0
    double wall_area_m2 = 0.0;          ///< A > 0
    double film_w_per_m2_k = 0.0;       ///< h > 0, radiation between air-warmed faces in it
    double wall_loss_w_per_m2_k = 0.0;  ///< U >= 0
};

/// Rise of the air [K] after a time at a steady power, from outside temperature; the linear system's closed form.
[[nodiscard]] double rise_k(const EmptyBooth& booth, double power_w, double time_s);
/// The power that makes such a rise in such a time [W]: the rise is in proportion to it.
[[nodiscard]] double power_for_rise_w(const EmptyBooth& booth, double rise_k, double time_s);
/// The rise that a power holds for ever [K].
[[nodiscard]] double steady_rise_k(const EmptyBooth& booth, double power_w);

}  // namespace bakewright::builder
