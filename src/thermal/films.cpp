#include "bakewright/thermal/films.hpp"

#include <algorithm>
#include <cmath>

namespace bakewright::thermal {
namespace {

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

}  // namespace bakewright::thermal
