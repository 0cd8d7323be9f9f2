#pragma once

#include "bakewright/base/units.hpp"
#include "bakewright/thermal/air.hpp"

/// Published correlations for the film between air and a surface, as pure functions of dimensionless numbers. Averages over the
/// whole face. None throws; outside its range each goes on with its formula unless said otherwise (range_warnings() in
/// film_model.hpp tells a user). Shorthand for sources, full references in docs/bibliography.md:
///   IDBL = Incropera, DeWitt, Bergman & Lavine, Fundamentals of Heat and Mass Transfer, 6th ed. (2007).
namespace bakewright::thermal {

/// Reynolds number at which the boundary layer of a smooth plate turns turbulent. Source: IDBL section 7.2 (10^5 to 3 x 10^6
/// occur).
inline constexpr double kCriticalReynolds = 5e5;

/// Re = u L / nu.
[[nodiscard]] double reynolds_number(const AirProperties& air, double speed_m_per_s, double length_m) noexcept;
/// Ra = g beta |dT| L^3 / (nu alpha). The sign of the difference does not matter.
/// @param gravity_m_per_s2  its part along an inclined plate where that is wanted
[[nodiscard]] double rayleigh_number(const AirProperties& air, double difference_k, double length_m,
                                     double gravity_m_per_s2 = kGravity) noexcept;

/// Forced flow along a plate, laminar from the leading edge: Nu = 0.664 Re^(1/2) Pr^(1/3).
/// Holds for Re < 5e5 and Pr > 0.6. Source: Pohlhausen (1921), in IDBL section 7.2.1.
[[nodiscard]] double plate_laminar_nusselt(double reynolds, double prandtl) noexcept;
/// Forced flow along a plate, turbulent from the leading edge (tripped, or rough edge): Nu = 0.037 Re^(4/5) Pr^(1/3).
/// Holds for 0.6 < Pr < 60 and Re < 1e8. Source: IDBL section 7.2.3.
[[nodiscard]] double plate_turbulent_nusselt(double reynolds, double prandtl) noexcept;
/// Forced flow along a plate whatever its Reynolds number: laminar up to the critical one, and from there the laminar edge
/// followed by a turbulent rest, Nu = (0.037 Re^(4/5) - A) Pr^(1/3), A = 0.037 Re_c^(4/5) - 0.664 Re_c^(1/2) (871 for 5e5).
/// Continuous at Re_c; its slope is not. critical_reynolds 0 means turbulent from the edge.
/// Holds for 0.6 < Pr < 60 and Re < 1e8. Source: IDBL section 7.2.3.
[[nodiscard]] double plate_forced_nusselt(double reynolds, double prandtl, double critical_reynolds = kCriticalReynolds) noexcept;
/// The constant A of plate_forced_nusselt().
[[nodiscard]] double plate_mixed_offset(double critical_reynolds) noexcept;

/// Forced flow across a round bar or tube, on its diameter:
/// Nu = 0.3 + 0.62 Re^(1/2) Pr^(1/3) / [1 + (0.4/Pr)^(2/3)]^(1/4) [1 + (Re/282000)^(5/8)]^(4/5).
/// Holds for Re Pr > 0.2. Source: Churchill & Bernstein, J. Heat Transfer 99 (1977) 300; IDBL section 7.4.2.
[[nodiscard]] double cylinder_forced_nusselt(double reynolds, double prandtl) noexcept;

/// Natural convection on a vertical plate, on its height: Nu = {0.825 + 0.387 Ra^(1/6) / [1 + (0.492/Pr)^(9/16)]^(8/27)}^2.
/// Holds for Ra < 1e12, laminar and turbulent. Source: Churchill & Chu, Int. J. Heat Mass Transfer 18 (1975) 1323; IDBL
/// section 9.6.1.
[[nodiscard]] double vertical_plate_nusselt(double rayleigh, double prandtl) noexcept;
/// The same authors' closer fit for the laminar layer: Nu = 0.68 + 0.670 Ra^(1/4) / [1 + (0.492/Pr)^(9/16)]^(4/9).
/// Holds for Ra < 1e9. For comparison; the model uses the one formula above, which has no change-over.
[[nodiscard]] double vertical_plate_laminar_nusselt(double rayleigh, double prandtl) noexcept;

/// Natural convection on a horizontal plate that drives it: heated side up, or cooled side down; on area over perimeter.
/// The larger of 0.54 Ra^(1/4) and 0.15 Ra^(1/3). The books change over at Ra = 1e7, where the two differ by 6.4 %; taking the
/// larger changes over where they meet, at 4.7e6, and leaves no jump. Between 4.7e6 and 1e7 it is up to 6.4 % above the books'
/// value. Holds for 1e4 < Ra < 1e11. Source: McAdams, Heat Transmission, 3rd ed. (1954), length of Lloyd & Moran, J. Heat
/// Transfer 96 (1974) 443; IDBL section 9.6.2.
[[nodiscard]] double horizontal_driving_nusselt(double rayleigh) noexcept;
/// Natural convection on a horizontal plate that hinders it: heated side down, or cooled side up (a cold roof under hot air); on
/// area over perimeter: Nu = 0.52 Ra^(1/5). Holds for 1e4 < Ra < 1e9, Pr > 0.7. Source: Radziemska & Lewandowski, Applied Energy
/// 68 (2001) 347; Bergman, Lavine, Incropera & DeWitt, 7th ed. (2011), section 9.6.2, in place of the 0.27 Ra^(1/4) of earlier
/// editions.
[[nodiscard]] double horizontal_hindering_nusselt(double rayleigh) noexcept;

/// Natural convection round a long horizontal cylinder, on its diameter:
/// Nu = {0.60 + 0.387 Ra^(1/6) / [1 + (0.559/Pr)^(9/16)]^(8/27)}^2. Holds for Ra < 1e12.
/// Source: Churchill & Chu, Int. J. Heat Mass Transfer 18 (1975) 1049; IDBL section 9.6.3.
[[nodiscard]] double horizontal_cylinder_nusselt(double rayleigh, double prandtl) noexcept;

/// How the natural flow lies to the forced one.
enum class FlowCombination {
    assisting,   ///< same direction, such as air blown down along a surface colder than it
    transverse,  ///< across each other, or unknown
    opposing     ///< against each other
};

/// Both kinds of flow at once: h^3 = h_forced^3 + h_natural^3 (assisting, transverse) or |h_forced^3 - h_natural^3| (opposing),
/// never below half of the larger one. The exponent 3 is the handbook's; it is stated for Nusselt numbers on one length, that is,
/// for h. The lower bound is ours, without a source: the difference alone would give zero where both are equal, and no surface
/// shows that. Source: Churchill (1977) as given in IDBL section 9.9.
[[nodiscard]] double combined_coefficient_w_per_m2_k(double forced_w_per_m2_k, double natural_w_per_m2_k,
                                                     FlowCombination combination) noexcept;

}  // namespace bakewright::thermal
