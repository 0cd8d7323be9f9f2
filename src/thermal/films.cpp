// SPDX-License-Identifier: Apache-2.0
#include "bakewright/thermal/films.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "bakewright/base/error.hpp"
#include "bakewright/base/units.hpp"

namespace bakewright::thermal {
namespace {

/// A problem of `key` unless its value is fine. @param allowed  what would be, with its unit
inline void add_unless(std::vector<Problem>& problems, bool fine, const char* key, double value, const char* allowed) {
    if (!fine) problems.push_back({"", 0, key, fmt::format("is {:g}, allowed {}", value, allowed)});
}

constexpr double kOpposingFloor = 0.5;

double square(double value) noexcept { return value * value; }
double cube(double value) noexcept { return value * value * value; }

/// [1 + (limit/Pr)^(9/16)], the Prandtl-number function of Churchill & Chu.
double prandtl_function(double limit, double prandtl) noexcept { return 1.0 + std::pow(limit / prandtl, 9.0 / 16.0); }

}  // namespace

double reynolds_number(const AirProperties& air, double speed_m_per_s, double length_m) noexcept {
    return speed_m_per_s * length_m / air.kinematic_viscosity_m2_per_s;
}

double rayleigh_number(const AirProperties& air, double difference_k, double length_m, double gravity_m_per_s2) noexcept {
    return gravity_m_per_s2 * air.expansion_per_k * std::abs(difference_k) * cube(length_m) /
           (air.kinematic_viscosity_m2_per_s * air.diffusivity_m2_per_s);
}

double plate_laminar_nusselt(double reynolds, double prandtl) noexcept {
    return 0.664 * std::sqrt(reynolds) * std::cbrt(prandtl);
}

double plate_turbulent_nusselt(double reynolds, double prandtl) noexcept {
    return 0.037 * std::pow(reynolds, 0.8) * std::cbrt(prandtl);
}

double plate_mixed_offset(double critical_reynolds) noexcept {
    return 0.037 * std::pow(critical_reynolds, 0.8) - 0.664 * std::sqrt(critical_reynolds);
}

double plate_forced_nusselt(double reynolds, double prandtl, double critical_reynolds) noexcept {
    if (reynolds <= critical_reynolds) return plate_laminar_nusselt(reynolds, prandtl);
    return plate_turbulent_nusselt(reynolds, prandtl) - plate_mixed_offset(critical_reynolds) * std::cbrt(prandtl);
}

double cylinder_forced_nusselt(double reynolds, double prandtl) noexcept {
    const double laminar =
        0.62 * std::sqrt(reynolds) * std::cbrt(prandtl) / std::pow(1.0 + std::pow(0.4 / prandtl, 2.0 / 3.0), 0.25);
    return 0.3 + laminar * std::pow(1.0 + std::pow(reynolds / 282000.0, 0.625), 0.8);
}

double vertical_plate_nusselt(double rayleigh, double prandtl) noexcept {
    return square(0.825 + 0.387 * std::pow(rayleigh, 1.0 / 6.0) / std::pow(prandtl_function(0.492, prandtl), 8.0 / 27.0));
}

double vertical_plate_laminar_nusselt(double rayleigh, double prandtl) noexcept {
    return 0.68 + 0.670 * std::pow(rayleigh, 0.25) / std::pow(prandtl_function(0.492, prandtl), 4.0 / 9.0);
}

double horizontal_driving_nusselt(double rayleigh) noexcept {
    return std::max(0.54 * std::pow(rayleigh, 0.25), 0.15 * std::cbrt(rayleigh));
}

double horizontal_hindering_nusselt(double rayleigh) noexcept { return 0.52 * std::pow(rayleigh, 0.2); }

double horizontal_cylinder_nusselt(double rayleigh, double prandtl) noexcept {
    return square(0.60 + 0.387 * std::pow(rayleigh, 1.0 / 6.0) / std::pow(prandtl_function(0.559, prandtl), 8.0 / 27.0));
}

double combined_coefficient_w_per_m2_k(double forced_w_per_m2_k, double natural_w_per_m2_k,
                                       FlowCombination combination) noexcept {
    const double larger = std::max(forced_w_per_m2_k, natural_w_per_m2_k);
    if (combination == FlowCombination::opposing) {
        const double difference = std::cbrt(std::abs(cube(forced_w_per_m2_k) - cube(natural_w_per_m2_k)));
        return std::max(difference, kOpposingFloor * larger);
    }
    return std::cbrt(cube(forced_w_per_m2_k) + cube(natural_w_per_m2_k));
}

namespace {

double positive_part(double value) noexcept { return std::max(value, 0.0); }

double gap_nusselt(const GapModel& model, double rayleigh, bool lower_is_warmer) noexcept {
    if (model.lie == GapModel::Lie::vertical)
        return std::max(vertical_gap_nusselt(rayleigh), aspect_gap_nusselt(rayleigh, model.width_m / model.height_m));
    return lower_is_warmer ? horizontal_gap_nusselt(rayleigh) : 1.0;
}

}  // namespace

double vertical_gap_nusselt(double rayleigh) noexcept {
    if (rayleigh <= 0.0) return 1.0;
    const double turbulent = 0.0605 * std::cbrt(rayleigh);
    const double laminar = 0.104 * std::pow(rayleigh, 0.293) / (1.0 + std::pow(6310.0 / rayleigh, 1.36));
    return std::max(turbulent, std::cbrt(1.0 + laminar * laminar * laminar));
}

double aspect_gap_nusselt(double rayleigh, double width_over_height) noexcept {
    return 0.242 * std::pow(rayleigh * width_over_height, 0.272);
}

double horizontal_gap_nusselt(double rayleigh) noexcept {
    if (rayleigh <= 0.0) return 1.0;
    return 1.0 + 1.44 * positive_part(1.0 - 1708.0 / rayleigh) + positive_part(std::cbrt(rayleigh / 5830.0) - 1.0);
}

double horizontal_gap_turbulent_nusselt(double rayleigh, double prandtl) noexcept {
    return 0.069 * std::cbrt(rayleigh) * std::pow(prandtl, 0.074);
}

double parallel_plate_exchange_factor(double emissivity_1, double emissivity_2) noexcept {
    return 1.0 / (1.0 / emissivity_1 + 1.0 / emissivity_2 - 1.0);
}

std::vector<Problem> problems_in(const GapModel& model) {
    std::vector<Problem> problems;
    const auto is_emissivity = [](double value) { return value > 0.0 && value <= 1.0; };
    add_unless(problems, model.width_m >= 0.0005 && model.width_m <= 0.5, "width", model.width_m, "0.0005 m to 0.5 m");
    add_unless(problems, std::isfinite(model.height_m) && model.height_m > 0.0, "height", model.height_m, "above 0 m");
    add_unless(problems, is_emissivity(model.outer_emissivity), "outer_emissivity", model.outer_emissivity, "above 0 to 1");
    add_unless(problems, is_emissivity(model.inner_emissivity), "inner_emissivity", model.inner_emissivity, "above 0 to 1");
    add_unless(problems, std::isfinite(model.pressure_pa) && model.pressure_pa > 0.0, "pressure", model.pressure_pa,
               "above 0 Pa");
    return problems;
}

double gap_coefficient_w_per_m2_k(const GapModel& model, double outer_k, double inner_k) {
    const AirProperties air = air_properties(0.5 * (outer_k + inner_k), model.pressure_pa);
    const double rayleigh = rayleigh_number(air, outer_k - inner_k, model.width_m);
    const bool lower_is_warmer = (outer_k > inner_k) == (model.lie == GapModel::Lie::outer_below);
    return gap_nusselt(model, rayleigh, lower_is_warmer) * air.conductivity_w_per_m_k / model.width_m;
}

double gap_radiation_w_per_m2_k(const GapModel& model, double outer_k, double inner_k) noexcept {
    return parallel_plate_exchange_factor(model.outer_emissivity, model.inner_emissivity) * kStefanBoltzmann *
           (outer_k * outer_k + inner_k * inner_k) * (outer_k + inner_k);
}

double gap_resistance_m2_k_per_w(const GapModel& model, double outer_k, double inner_k) {
    return 1.0 / (gap_coefficient_w_per_m2_k(model, outer_k, inner_k) + gap_radiation_w_per_m2_k(model, outer_k, inner_k));
}

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
