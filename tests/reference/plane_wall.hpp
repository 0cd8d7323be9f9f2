// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

/// Exact solutions for heat conduction in one dimension. Roots by Boost.Math to the last bits.
namespace bakewright::reference {

/// First root of zeta tan zeta = Bi and its series factor C_1 = 4 sin zeta / (2 zeta + sin 2 zeta); Bi on the half thickness.
/// Source: Incropera et al., 6th ed., eqs. (5.39) and table 5.1.
[[nodiscard]] double plane_wall_root(double biot);
[[nodiscard]] double plane_wall_factor(double root);
/// First root of zeta J1(zeta) / J0(zeta) = Bi and C_1 = 2 J1 / (zeta (J0^2 + J1^2)); Bi on the radius. Source: the same, eq.
/// (5.47).
[[nodiscard]] double cylinder_root(double biot);
[[nodiscard]] double cylinder_factor(double root);

/// A slab with convection on both faces, coefficients of its own on each; 0 insulates the inner one. x from the outer face, 0 to
/// L.
struct Wall {
    double thickness_m;
    double conductivity_w_per_m_k;
    double heat_capacity_j_per_m3_k;
    double outer_w_per_m2_k;  ///< > 0
    double inner_w_per_m2_k;  ///< >= 0
};

/// The slab's eigenfunction series. Source: Carslaw & Jaeger, Conduction of Heat in Solids, 2nd ed., section 3.11 (unequal
/// coefficients: eigenfunctions cos(mu x) + (Bi_o/mu) sin(mu x), mu x on the thickness).
class WallSeries {
public:
    explicit WallSeries(const Wall& wall, int terms = 60);

    /// Share of a sudden change of the air on both sides that is still to come at x: 1 at the start, 0 at the end.
    [[nodiscard]] double step_share_left(double depth_m, double time_s) const;
    /// Warming of a slab at rest whose air ramps on both sides [K].
    [[nodiscard]] double ramp_rise_k(double rate_k_per_s, double depth_m, double time_s) const;
    /// The same when the ramp stops at stop_s and the air holds.
    [[nodiscard]] double ramp_and_hold_rise_k(double rate_k_per_s, double stop_s, double depth_m, double time_s) const;
    /// Mean over the thickness of step_share_left.
    [[nodiscard]] double mean_step_share_left(double time_s) const;

private:
    struct Mode {
        double root, factor, mean, rate_per_s;
    };
    [[nodiscard]] double shape(const Mode& mode, double depth_m) const;
    Wall wall_;
    double outer_biot_;
    std::vector<Mode> modes_;
};

/// Warming share of a half space whose surface meets air by a film: 0 to 1.
/// Source: Incropera et al., 6th ed., eq. (5.60).
[[nodiscard]] double half_space_share(double conductivity_w_per_m_k, double heat_capacity_j_per_m3_k, double film_w_per_m2_k,
                                      double depth_m, double time_s);

/// Bar held at 0 on one end and at amplitude sin(omega t) on the other, at 0 to begin with. x from the still end.
/// Source: NAFEMS P18 test T3 (The Standard NAFEMS Benchmarks, Rev. 3, 1990); Fourier series derived here.
[[nodiscard]] double driven_bar(double diffusivity_m2_per_s, double length_m, double amplitude, double omega_per_s, double x_m,
                                double time_s, int terms = 400);

}  // namespace bakewright::reference
