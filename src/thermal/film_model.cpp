#include "bakewright/thermal/film_model.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "allowed.hpp"

namespace bakewright::thermal {
namespace {

constexpr double kShortestLengthM = 0.01;

double film_temperature_k(double surface_k, double air_k) noexcept { return 0.5 * (surface_k + air_k); }

/// A face that looks up is driven when it is warmer than the air, one that looks down when it is cooler.
bool is_driven(bool looks_up, double surface_k, double air_k) noexcept { return (surface_k > air_k) == looks_up; }

double vertical_coefficient(const AirProperties& air, double difference_k, double length_m, double gravity) noexcept {
    return vertical_plate_nusselt(rayleigh_number(air, difference_k, length_m, gravity), air.prandtl) *
           air.conductivity_w_per_m_k / length_m;
}

double horizontal_coefficient(const AirProperties& air, double difference_k, double length_m, double gravity,
                              bool driven) noexcept {
    const double rayleigh = rayleigh_number(air, difference_k, length_m, gravity);
    const double nusselt = driven ? horizontal_driving_nusselt(rayleigh) : horizontal_hindering_nusselt(rayleigh);
    return nusselt * air.conductivity_w_per_m_k / length_m;
}

double cylinder_coefficient(const AirProperties& air, double difference_k, double diameter_m) noexcept {
    return horizontal_cylinder_nusselt(rayleigh_number(air, difference_k, diameter_m), air.prandtl) * air.conductivity_w_per_m_k /
           diameter_m;
}

void warn_unless(std::vector<std::string>& warnings, bool inside, const char* what, double value, const char* range) {
    if (!inside) warnings.push_back(fmt::format("{} is {:.3g}, published for {}", what, value, range));
}

void warn_of_natural(std::vector<std::string>& warnings, const FilmModel& model, const AirProperties& air, double surface_k,
                     double air_k) {
    using Lie = FilmModel::Lie;
    const bool horizontal = model.lie == Lie::facing_up || model.lie == Lie::facing_down;
    const double rayleigh = rayleigh_number(air, surface_k - air_k, horizontal ? model.area_over_perimeter_m : model.height_m);
    const char* what = "the Rayleigh number";
    if (!horizontal) return warn_unless(warnings, rayleigh <= 1e12, what, rayleigh, "up to 1e12");
    if (is_driven(model.lie == Lie::facing_up, surface_k, air_k))
        warn_unless(warnings, rayleigh >= 1e4 && rayleigh <= 1e11, what, rayleigh, "1e4 to 1e11");
    else
        warn_unless(warnings, rayleigh >= 1e4 && rayleigh <= 1e9, what, rayleigh, "1e4 to 1e9");
}

void warn_of_forced(std::vector<std::string>& warnings, const FilmModel& model, const AirProperties& air) {
    if (model.lie == FilmModel::Lie::cylinder_across) {
        const double peclet = reynolds_number(air, model.speed_m_per_s, model.height_m) * air.prandtl;
        return warn_unless(warnings, peclet > 0.2, "Reynolds times Prandtl number", peclet, "above 0.2");
    }
    const double reynolds = reynolds_number(air, model.speed_m_per_s, model.stream_length_m);
    warn_unless(warnings, reynolds <= 1e8, "the Reynolds number", reynolds, "up to 1e8");
}

}  // namespace

std::vector<Problem> problems_in(const FilmModel& model) {
    std::vector<Problem> problems;
    const double right_angle = 0.5 * std::numbers::pi;
    const auto at_least = [](double value, double least) { return std::isfinite(value) && value >= least; };
    add_unless(problems, std::abs(model.tilt_rad) <= right_angle, "tilt", model.tilt_rad, "-pi/2 to pi/2");
    add_unless(problems, at_least(model.height_m, kShortestLengthM), "height", model.height_m, "0.01 m and more");
    add_unless(problems, at_least(model.area_over_perimeter_m, kShortestLengthM), "area_over_perimeter",
               model.area_over_perimeter_m, "0.01 m and more");
    add_unless(problems, at_least(model.stream_length_m, 1e-3), "stream_length", model.stream_length_m, "0.001 m and more");
    add_unless(problems, at_least(model.speed_m_per_s, 0.0), "speed", model.speed_m_per_s, "0 m/s and more");
    add_unless(problems, at_least(model.critical_reynolds, 0.0), "critical_reynolds", model.critical_reynolds, "0 and more");
    add_unless(problems, at_least(model.multiplier, 1e-6), "multiplier", model.multiplier, "above 0");
    add_unless(problems, at_least(model.pressure_pa, 1.0), "pressure", model.pressure_pa, "above 0 Pa");
    const double given = model.forced_w_per_m2_k.value_or(0.0);
    add_unless(problems, at_least(given, 0.0), "forced", given, "0 W/(m2 K) and more");
    const bool flows = model.natural || given > 0.0 || (!model.forced_w_per_m2_k && model.speed_m_per_s > 0.0);
    if (!flows) problems.push_back({"", 0, "natural", "is off and there is no forced flow; give a speed or a coefficient"});
    return problems;
}

double natural_coefficient_w_per_m2_k(const FilmModel& model, double surface_k, double air_k) {
    if (!model.natural) return 0.0;
    const AirProperties air = air_properties(film_temperature_k(surface_k, air_k), model.pressure_pa);
    const double difference_k = surface_k - air_k;
    const auto horizontal = [&](bool looks_up, double gravity) {
        return horizontal_coefficient(air, difference_k, model.area_over_perimeter_m, gravity,
                                      is_driven(looks_up, surface_k, air_k));
    };
    switch (model.lie) {
        case FilmModel::Lie::vertical:
            return vertical_coefficient(air, difference_k, model.height_m, kGravity);
        case FilmModel::Lie::facing_up:
            return horizontal(true, kGravity);
        case FilmModel::Lie::facing_down:
            return horizontal(false, kGravity);
        case FilmModel::Lie::cylinder_across:
            return cylinder_coefficient(air, difference_k, model.height_m);
        case FilmModel::Lie::inclined:
            break;
    }
    const double along = vertical_coefficient(air, difference_k, model.height_m, kGravity * std::cos(model.tilt_rad));
    return std::max(along, horizontal(model.tilt_rad > 0.0, kGravity * std::abs(std::sin(model.tilt_rad))));
}

double forced_coefficient_w_per_m2_k(const FilmModel& model, double film_k) {
    if (model.forced_w_per_m2_k) return *model.forced_w_per_m2_k;
    if (model.speed_m_per_s <= 0.0) return 0.0;
    const AirProperties air = air_properties(film_k, model.pressure_pa);
    if (model.lie == FilmModel::Lie::cylinder_across)
        return cylinder_forced_nusselt(reynolds_number(air, model.speed_m_per_s, model.height_m), air.prandtl) *
               air.conductivity_w_per_m_k / model.height_m;
    const double reynolds = reynolds_number(air, model.speed_m_per_s, model.stream_length_m);
    return plate_forced_nusselt(reynolds, air.prandtl, model.critical_reynolds) * air.conductivity_w_per_m_k /
           model.stream_length_m;
}

double film_coefficient_w_per_m2_k(const FilmModel& model, double surface_k, double air_k) {
    const double forced = forced_coefficient_w_per_m2_k(model, film_temperature_k(surface_k, air_k));
    const double natural = natural_coefficient_w_per_m2_k(model, surface_k, air_k);
    return model.multiplier * combined_coefficient_w_per_m2_k(forced, natural, model.combination);
}

std::vector<std::string> range_warnings(const FilmModel& model, double surface_k, double air_k) {
    std::vector<std::string> warnings;
    const double film_k = film_temperature_k(surface_k, air_k);
    warn_unless(warnings, air_table_covers(film_k), "the film temperature [K]", film_k, "250 to 500 K");
    const AirProperties air = air_properties(film_k, model.pressure_pa);
    if (model.natural) warn_of_natural(warnings, model, air, surface_k, air_k);
    if (!model.forced_w_per_m2_k && model.speed_m_per_s > 0.0) warn_of_forced(warnings, model, air);
    return warnings;
}

}  // namespace bakewright::thermal
