#pragma once

#include <vector>

#include "bakewright/base/error.hpp"
#include "bakewright/thermal/air.hpp"

/// Closed air gaps between two parallel faces: double skins. Ra and Nu are on the gap's width; Nu = 1 is conduction through still
/// air.
namespace bakewright::thermal {

/// Cavity between two walls, whatever its height: the larger of
///     0.0605 Ra^(1/3)   and   {1 + [0.104 Ra^0.293 / (1 + (6310/Ra)^1.36)]^3}^(1/3).
/// Holds for air, 1e2 < Ra < 2e7; goes to 1 below. Source: ElSherbiny, Raithby & Hollands, J. Heat Transfer 104 (1982) 96
/// (constants from memory; within 13 % of the formula of ISO 15099:2003, 5.3.3, which the tests hold beside it).
[[nodiscard]] double vertical_gap_nusselt(double rayleigh) noexcept;
/// The same authors' third term, which leads in low, wide cavities: 0.242 (Ra W/H)^0.272, W the width and H the height.
/// @param width_over_height  W/H; holds for 1/110 to 1/5
[[nodiscard]] double aspect_gap_nusselt(double rayleigh, double width_over_height) noexcept;
/// Layer heated from below: Nu = 1 + 1.44 [1 - 1708/Ra]+ + [(Ra/5830)^(1/3) - 1]+, [x]+ being x or 0 where x is negative.
/// Holds for air, Ra < 1e8. Heated from above the layer stays still, Nu = 1.
/// Source: Hollands, Raithby & Konicek, Int. J. Heat Mass Transfer 18 (1975) 879; Hollands et al., J. Heat Transfer 98 (1976)
/// 189.
[[nodiscard]] double horizontal_gap_nusselt(double rayleigh) noexcept;
/// For comparison: Nu = 0.069 Ra^(1/3) Pr^0.074, 3e5 < Ra < 7e9. Source: Globe & Dropkin, J. Heat Transfer 81 (1959) 24; IDBL
/// section 9.8.1.
[[nodiscard]] double horizontal_gap_turbulent_nusselt(double rayleigh, double prandtl) noexcept;

/// Grey exchange factor of two large parallel plates: 1 / (1/e1 + 1/e2 - 1); q = factor sigma (T1^4 - T2^4). Both 0 < e <= 1.
/// Source: IDBL section 13.3.3.
[[nodiscard]] double parallel_plate_exchange_factor(double emissivity_1, double emissivity_2) noexcept;

/// One closed air gap. Ventilated gaps (open at the edges) carry more heat than this.
struct GapModel {
    enum class Lie { vertical, outer_above, outer_below } lie = Lie::vertical;
    double width_m = 0.025;         ///< between the faces, 0.0005 to 0.5
    double height_m = 1.0;          ///< of the cavity, > 0; vertical only
    double outer_emissivity = 0.9;  ///< 0 to 1, > 0
    double inner_emissivity = 0.9;  ///< 0 to 1, > 0
    double pressure_pa = kStandardPressurePa;

    bool operator==(const GapModel&) const = default;
};

[[nodiscard]] std::vector<Problem> problems_in(const GapModel& model);

/// Conduction and convection across the gap [W/(m2 K)], air at the mean of both faces; at least k/width, finite where both are
/// equal.
/// @param model without problems  @param outer_k, inner_k > 0
[[nodiscard]] double gap_coefficient_w_per_m2_k(const GapModel& model, double outer_k, double inner_k);
/// Radiation across the gap as a coefficient [W/(m2 K)]: factor sigma (T1^2 + T2^2) (T1 + T2), exact for the two temperatures.
[[nodiscard]] double gap_radiation_w_per_m2_k(const GapModel& model, double outer_k, double inner_k) noexcept;
/// Both together as a resistance [m2 K/W].
[[nodiscard]] double gap_resistance_m2_k_per_w(const GapModel& model, double outer_k, double inner_k);

}  // namespace bakewright::thermal
