// SPDX-License-Identifier: Apache-2.0
#pragma once

namespace bakewright::thermal {

/// One standard atmosphere [Pa]. Source: CGPM 1954 (exact).
inline constexpr double kStandardPressurePa = 101325.0;
/// Range of the table behind air_properties() [K].
inline constexpr double kAirTableLowestK = 250.0;
inline constexpr double kAirTableHighestK = 500.0;

/// Dry air at one temperature and pressure.
struct AirProperties {
    double temperature_k = 0.0;
    double density_kg_per_m3 = 0.0;
    double specific_heat_j_per_kg_k = 0.0;
    double dynamic_viscosity_pa_s = 0.0;
    double kinematic_viscosity_m2_per_s = 0.0;
    double conductivity_w_per_m_k = 0.0;
    double diffusivity_m2_per_s = 0.0;
    double prandtl = 0.0;
    double expansion_per_k = 0.0;  ///< 1/T, ideal gas
};

/// Properties of dry air, to be taken at the film temperature (mean of surface and air).
///
/// Density times temperature, specific heat, dynamic viscosity and conductivity are interpolated between the points of the table
/// by monotone cubics (no overshoot, continuous slope), so each table point is met exactly; the other properties follow from
/// these by definition. Density, kinematic viscosity and diffusivity scale with pressure as for an ideal gas; the other four do
/// not change. The densities and kinematic viscosities of the table belong to 1.000 bar, not to one atmosphere, 1.3 % more.
///
/// Holds for:   250 to 500 K, 1 kPa to 1 MPa.
/// Outside:     below 250 and above 500 K the four interpolated curves go on in straight lines (finite and positive at any
///              temperature above 0 K); air_table_covers() tells.
/// @param film_k > 0  @param pressure_pa > 0  @throws PromiseError otherwise
/// Source: Incropera, DeWitt, Bergman & Lavine, Fundamentals of Heat and Mass Transfer, 6th ed., table A.4.
[[nodiscard]] AirProperties air_properties(double film_k, double pressure_pa = kStandardPressurePa);

/// Whether the table covers a film temperature.
[[nodiscard]] constexpr bool air_table_covers(double film_k) noexcept {
    return film_k >= kAirTableLowestK && film_k <= kAirTableHighestK;
}

}  // namespace bakewright::thermal
