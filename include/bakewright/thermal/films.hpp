// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/base/error.hpp"
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

/// Closed air gaps between two parallel faces: double skins. Ra and Nu are on the gap's width; Nu = 1 is conduction through still
/// air.

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

/// How one face meets the air along it.
struct FilmModel {
    enum class Lie {
        vertical,        ///< wall, side of a shell
        facing_up,       ///< roof from outside, floor from inside
        facing_down,     ///< underside, ceiling from inside
        inclined,        ///< anything between, see tilt_rad
        cylinder_across  ///< horizontal round bar or tube across the stream
    } lie = Lie::vertical;
    double tilt_rad = 0.0;  ///< inclined only: of the outward normal above the horizon, -pi/2 to pi/2; 0 is vertical
    double height_m = 1.0;  ///< vertical: height; inclined: length up the slope; cylinder: diameter. > 0.01
    double area_over_perimeter_m = 0.25;  ///< facing up or down, inclined: area over perimeter. > 0.01
    double stream_length_m = 1.0;         ///< along the forced stream; for a cylinder the diameter counts instead. > 0

    bool natural = true;                           ///< natural convection takes part
    std::optional<double> forced_w_per_m2_k;       ///< forced coefficient given; else from the speed. >= 0
    double speed_m_per_s = 0.0;                    ///< of the air along the face, >= 0
    double critical_reynolds = kCriticalReynolds;  ///< 0 for turbulent from the edge, >= 0
    FlowCombination combination = FlowCombination::transverse;
    double multiplier = 1.0;                   ///< on the whole coefficient, as tuned; > 0
    double pressure_pa = kStandardPressurePa;  ///< > 0

    bool operator==(const FilmModel&) const = default;
};

/// Everything wrong with a model; keys are field names; file and line are empty. A model without any flow is wrong too.
[[nodiscard]] std::vector<Problem> problems_in(const FilmModel& model);

/// Area over perimeter of a rectangle [m]. @param area_m2 > 0  @param length_m > 0
[[nodiscard]] constexpr double rectangle_area_over_perimeter_m(double area_m2, double length_m) noexcept {
    return area_m2 / (2.0 * (length_m + area_m2 / length_m));
}

/// Natural part of the film coefficient [W/(m2 K)], without the multiplier; 0 where the model has none.
///
/// Inclined faces: the largest of a vertical plate with g cos(tilt) over the slope's length, and a horizontal one with g
/// |sin(tilt)| over area over perimeter, driving or hindering by tilt and sign. This joins the vertical and the horizontal value
/// without a jump. Source: Raithby & Hollands, Natural Convection, in Handbook of Heat Transfer, 3rd ed. (1998), ch. 4 (rule from
/// memory); IDBL section 9.6.2 has the g cos rule for tilts up to 60 degrees on the hindered side.
[[nodiscard]] double natural_coefficient_w_per_m2_k(const FilmModel& model, double surface_k, double air_k);

/// Forced part of the film coefficient [W/(m2 K)], without the multiplier, with air at the film temperature.
[[nodiscard]] double forced_coefficient_w_per_m2_k(const FilmModel& model, double film_k);

/// Film coefficient h of q = h (air - surface) [W/(m2 K)]: forced and natural part combined, times the multiplier. Air properties
/// at the mean of the two temperatures. The exact form that TabulatedFilm approximates.
/// @param model  without problems  @param surface_k, air_k > 0  @throws PromiseError for temperatures that are not
[[nodiscard]] double film_coefficient_w_per_m2_k(const FilmModel& model, double surface_k, double air_k);

/// One sentence for each published range that this state leaves; empty where all hold.
[[nodiscard]] std::vector<std::string> range_warnings(const FilmModel& model, double surface_k, double air_k);

}  // namespace bakewright::thermal
