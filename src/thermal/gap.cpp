#include "bakewright/thermal/gap.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "bakewright/base/units.hpp"
#include "bakewright/thermal/films.hpp"
#include "allowed.hpp"

namespace bakewright::thermal {
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

}  // namespace bakewright::thermal
