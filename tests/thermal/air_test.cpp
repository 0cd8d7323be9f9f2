// SPDX-License-Identifier: Apache-2.0
#include "bakewright/thermal/air.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "bakewright/base/error.hpp"

using namespace bakewright;
using namespace bakewright::thermal;

namespace {
/// Incropera et al., 6th ed., table A.4, as printed: T, rho, cp, 10^6 nu, 10^3 k, 10^6 alpha, Pr.
struct Row {
    double t, rho, cp, nu, k, alpha, pr;
};
constexpr Row kTable[] = {{250, 1.3947, 1006, 11.44, 22.3, 15.9, 0.720}, {300, 1.1614, 1007, 15.89, 26.3, 22.5, 0.707},
                          {350, 0.9950, 1009, 20.92, 30.0, 29.9, 0.700}, {400, 0.8711, 1014, 26.41, 33.8, 38.3, 0.690},
                          {450, 0.7740, 1021, 32.39, 37.3, 47.2, 0.686}, {500, 0.6964, 1030, 38.79, 40.7, 56.7, 0.684}};
}  // namespace

TEST_CASE("air at one bar has the printed properties at every point of the table") {
    // Tolerance: rounding alone for what is interpolated; for alpha and Pr, which follow from it, 0.5 % (k is printed to three
    // digits).
    for (const Row& row : kTable) {
        CAPTURE(row.t);
        const AirProperties air = air_properties(row.t, 1e5);
        CHECK(std::abs(air.density_kg_per_m3 - row.rho) <= 1e-9);
        CHECK(std::abs(air.specific_heat_j_per_kg_k - row.cp) <= 1e-9);
        CHECK(std::abs(air.kinematic_viscosity_m2_per_s * 1e6 - row.nu) <= 1e-9);
        CHECK(std::abs(air.conductivity_w_per_m_k * 1e3 - row.k) <= 1e-9);
        CHECK(std::abs(air.diffusivity_m2_per_s * 1e6 / row.alpha - 1.0) <= 0.005);
        CHECK(std::abs(air.prandtl / row.pr - 1.0) <= 0.005);
        CHECK(air.expansion_per_k == 1.0 / row.t);
    }
}

TEST_CASE("one atmosphere is not one bar: density is 1.3 percent higher, viscosity and conductivity are not") {
    // Source: ideal gas with the molar mass of dry air, p / (287.05 T) = 1.1766 kg/m3 at 300 K and 101325 Pa. Tolerance 0.05 %.
    const AirProperties air = air_properties(300.0);
    CHECK(std::abs(air.density_kg_per_m3 / 1.1766 - 1.0) <= 5e-4);
    CHECK(air.dynamic_viscosity_pa_s == air_properties(300.0, 6000.0).dynamic_viscosity_pa_s);
    CHECK(air.conductivity_w_per_m_k == air_properties(300.0, 6000.0).conductivity_w_per_m_k);
    CHECK(std::abs(air.prandtl - air_properties(300.0, 6000.0).prandtl) <= 1e-12);
    CHECK(std::abs(air_properties(300.0, 6000.0).kinematic_viscosity_m2_per_s / air.kinematic_viscosity_m2_per_s -
                   101325.0 / 6000.0) <= 1e-9);
}

TEST_CASE("between the points the curves stay on formulas of another source") {
    // Source:    U.S. Standard Atmosphere 1976, eqs. (51) and (53): mu = 1.458e-6 T^1.5 / (T + 110.4),
    //            k = 2.64638e-3 T^1.5 / (T + 245.4 10^(-12/T)); p / (287.05 T).
    // Tolerance: 1.2 % for viscosity and conductivity (the two sources differ by that at the printed points, viscosity at 500 K),
    // 0.15 % for density.
    for (double t = 255.0; t <= 500.0; t += 5.0) {
        CAPTURE(t);
        const AirProperties air = air_properties(t, 1e5);
        CHECK(std::abs(air.dynamic_viscosity_pa_s / (1.458e-6 * std::pow(t, 1.5) / (t + 110.4)) - 1.0) <= 0.012);
        const double k = 2.64638e-3 * std::pow(t, 1.5) / (t + 245.4 * std::pow(10.0, -12.0 / t));
        CHECK(std::abs(air.conductivity_w_per_m_k / k - 1.0) <= 0.012);
        CHECK(std::abs(air.density_kg_per_m3 * 287.05 * t / 1e5 - 1.0) <= 0.0015);
    }
}

TEST_CASE("properties run smoothly and without turning, also past the ends of the table") {
    AirProperties before = air_properties(150.0);
    for (double t = 150.5; t <= 700.0; t += 0.5) {
        const AirProperties air = air_properties(t);
        CAPTURE(t);
        CHECK(air.dynamic_viscosity_pa_s > before.dynamic_viscosity_pa_s);
        CHECK(air.conductivity_w_per_m_k > before.conductivity_w_per_m_k);
        CHECK(air.kinematic_viscosity_m2_per_s > before.kinematic_viscosity_m2_per_s);
        CHECK(air.density_kg_per_m3 < before.density_kg_per_m3);
        before = air;
    }
    CHECK(air_table_covers(250.0));
    CHECK_FALSE(air_table_covers(249.9));
    CHECK_FALSE(air_table_covers(500.1));
}

TEST_CASE("a temperature or pressure that cannot be is refused") {
    CHECK_THROWS_AS(static_cast<void>(air_properties(0.0)), PromiseError);
    CHECK_THROWS_AS(static_cast<void>(air_properties(std::nan(""))), PromiseError);
    CHECK_THROWS_AS(static_cast<void>(air_properties(300.0, 0.0)), PromiseError);
}
