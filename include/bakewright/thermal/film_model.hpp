#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/base/error.hpp"
#include "bakewright/thermal/films.hpp"

namespace bakewright::thermal {

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
