#include "bakewright/thermal/films.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <initializer_list>

using namespace bakewright;
using namespace bakewright::thermal;

namespace {
/// Air as an example prints it, so that the correlation alone is on trial.
AirProperties printed_air(double temperature_k, double k, double nu, double alpha, double prandtl, double expansion) {
    AirProperties air;
    air.temperature_k = temperature_k;
    air.conductivity_w_per_m_k = k;
    air.kinematic_viscosity_m2_per_s = nu;
    air.diffusivity_m2_per_s = alpha;
    air.prandtl = prandtl;
    air.expansion_per_k = expansion;
    return air;
}
}  // namespace

TEST_CASE("a glass screen in a room: Churchill and Chu on the printed example") {
    // Source:    Incropera et al., 6th ed., example 9.2: 232 degC, air 23 degC, 0.71 m high, 1.02 m wide, g 9.8.
    //            Printed Ra 1.813e9, Nu 147, h 7.0, q 1060 W; the inputs give 1.8125e9, 147.11, 7.0031, 1059.98.
    // Tolerance: half the last digit of the values calculated from the stated inputs.
    const AirProperties air = printed_air(400.0, 0.0338, 26.4e-6, 38.3e-6, 0.690, 0.0025);
    const double rayleigh = rayleigh_number(air, 209.0, 0.71, 9.8);
    CHECK(std::abs(rayleigh - 1.8125e9) <= 5e4);
    const double nusselt = vertical_plate_nusselt(rayleigh, air.prandtl);
    CHECK(std::abs(nusselt - 147.11) <= 0.005);
    const double h = nusselt * air.conductivity_w_per_m_k / 0.71;
    CHECK(std::abs(h - 7.0031) <= 5e-5);
    CHECK(std::abs(h * 1.02 * 0.71 * 209.0 - 1059.98) <= 0.01);
    // With this library's air at the film temperature of 400.65 K and one atmosphere, not the rounded 400 K at one bar:
    // within 1.5 %.
    const AirProperties own = air_properties(0.5 * (505.15 + 296.15));
    const double own_h =
        vertical_plate_nusselt(rayleigh_number(own, 209.0, 0.71), own.prandtl) * own.conductivity_w_per_m_k / 0.71;
    CHECK(std::abs(own_h / 7.0031 - 1.0) <= 0.015);
}

TEST_CASE("a plate in thin air: viscosity goes with pressure") {
    // Source:    Incropera et al., 6th ed., example 7.1: 10 m/s, 6 kPa, 0.5 m, 300 to 27 degC. Printed Re 9597, Nu 57.4, h 4.18,
    // q' 570. Tolerance: half the last digit of 9600, 57.41, 4.179, 570.5, calculated from the stated inputs.
    const AirProperties air = printed_air(437.0, 0.0364, 30.84e-6 * 101325.0 / 6000.0, 0.0, 0.687, 0.0);
    const double reynolds = reynolds_number(air, 10.0, 0.5);
    CHECK(std::abs(reynolds - 9600.0) <= 0.8);
    const double nusselt = plate_forced_nusselt(reynolds, air.prandtl);
    CHECK(std::abs(nusselt - 57.41) <= 0.005);
    CHECK(std::abs(nusselt * 0.0364 / 0.5 - 4.179) <= 5e-4);
    CHECK(std::abs(nusselt * 0.0364 * 273.0 - 570.5) <= 0.1);
    // With this library's air: the book scales the table from one atmosphere, its numbers belong to one bar: Re 1.3 % apart, h
    // 0.7 %.
    const AirProperties own = air_properties(437.0, 6000.0);
    const double own_reynolds = reynolds_number(own, 10.0, 0.5);
    CHECK(std::abs(own_reynolds / 9600.0 - 1.0) <= 0.015);
    CHECK(std::abs(plate_forced_nusselt(own_reynolds, own.prandtl) * own.conductivity_w_per_m_k / 0.5 / 4.179 - 1.0) <= 0.01);
    // The trap itself: with the viscosity of one atmosphere the answer is four times too high.
    CHECK(plate_forced_nusselt(reynolds_number(air_properties(437.0), 10.0, 0.5), 0.687) > 4.0 * nusselt);
}

TEST_CASE("a rod across a stream: Churchill and Bernstein lies between the measurement and 9 percent under it") {
    // Source:    Incropera et al., 6th ed., example 7.4: 12.7 mm, 10 m/s, film at 350 K; measured 102, Zukauskas 105; Churchill &
    //            Bernstein printed as 96 (from memory), 95.99 calculated from nu 20.92e-6, k 0.030, Pr 0.700.
    // Tolerance: 0.01 on the calculated value; own air at one atmosphere raises it by 0.7 %, allowed 1 %.
    const double reynolds = 10.0 * 0.0127 / 20.92e-6;
    CHECK(std::abs(reynolds - 6071.0) <= 1.0);
    const double h = cylinder_forced_nusselt(reynolds, 0.700) * 0.030 / 0.0127;
    CHECK(std::abs(h - 95.99) <= 0.01);
    const AirProperties own = air_properties(0.5 * (299.35 + 401.55));
    const double own_h =
        cylinder_forced_nusselt(reynolds_number(own, 10.0, 0.0127), own.prandtl) * own.conductivity_w_per_m_k / 0.0127;
    CHECK(std::abs(own_h / 95.99 - 1.0) <= 0.01);
    CHECK(own_h > 0.9 * 102.0);
    CHECK(own_h < 105.0);
}

TEST_CASE("natural convection at a wall is near the rule of thumb 1.31 dT^(1/3)") {
    // Source:    simplified equation for vertical plates in air, turbulent (McAdams; common in handbooks): 2.2, 3.6, 4.5 W/m2K at
    // 5, 20, 40 K. Tolerance: 15 %, what such simplifications hold.
    const AirProperties air = air_properties(313.15);
    for (const double difference_k : {5.0, 20.0, 40.0}) {
        const double h =
            vertical_plate_nusselt(rayleigh_number(air, difference_k, 2.0), air.prandtl) * air.conductivity_w_per_m_k / 2.0;
        CHECK(std::abs(h / (1.31 * std::cbrt(difference_k)) - 1.0) <= 0.15);
    }
}

TEST_CASE("a plate 1.5 m long in booth air has the coefficients computed by hand") {
    // Source:    computed: 0.664 Re^(1/2) Pr^(1/3) k/L for air of 40 degC, 0.2, 0.5 and 1.0 m/s: 1.4, 2.3, 3.2 W/m2K; turbulent
    // at 1.0: 5.4. Tolerance: 0.06, the rounding of those and of the air's state.
    const AirProperties air = air_properties(313.15);
    const auto h = [&](double nusselt) { return nusselt * air.conductivity_w_per_m_k / 1.5; };
    CHECK(std::abs(h(plate_forced_nusselt(reynolds_number(air, 0.2, 1.5), air.prandtl)) - 1.4) <= 0.06);
    CHECK(std::abs(h(plate_forced_nusselt(reynolds_number(air, 0.5, 1.5), air.prandtl)) - 2.3) <= 0.06);
    CHECK(std::abs(h(plate_forced_nusselt(reynolds_number(air, 1.0, 1.5), air.prandtl)) - 3.2) <= 0.06);
    CHECK(std::abs(h(plate_forced_nusselt(reynolds_number(air, 1.0, 1.5), air.prandtl, 0.0)) - 5.4) <= 0.1);
}

TEST_CASE("a plate's flow turns turbulent without a jump, and the constant of the mixed average is 871") {
    CHECK(std::abs(plate_mixed_offset(5e5) - 871.0) <= 1.0);  // Source: Incropera et al., 6th ed., section 7.2.3
    for (const double critical : {1e5, 5e5, 3e6}) {
        const double below = plate_forced_nusselt(critical * (1.0 - 1e-12), 0.7, critical);
        const double above = plate_forced_nusselt(critical * (1.0 + 1e-12), 0.7, critical);
        CHECK(std::abs(above - below) <= 1e-8 * below);
    }
    CHECK(plate_forced_nusselt(2e6, 0.7, 0.0) == plate_turbulent_nusselt(2e6, 0.7));
    CHECK(plate_forced_nusselt(2e6, 0.7) < plate_turbulent_nusselt(2e6, 0.7));
    CHECK(plate_forced_nusselt(2e6, 0.7) > plate_laminar_nusselt(2e6, 0.7));
}

TEST_CASE("the two rules of a driving horizontal plate meet without a jump and stay within 6.4 percent of the book's") {
    double before = 0.0;
    for (double rayleigh = 1e4; rayleigh < 1e11; rayleigh *= 1.01) {
        const double nusselt = horizontal_driving_nusselt(rayleigh);
        CHECK(nusselt > before);
        if (before > 0.0) CHECK(nusselt < before * 1.0035);  // a step of 1.01^(1/3)
        const double book = rayleigh <= 1e7 ? 0.54 * std::pow(rayleigh, 0.25) : 0.15 * std::cbrt(rayleigh);
        CHECK(nusselt >= book * (1.0 - 1e-12));
        CHECK(nusselt <= book * 1.065);
        before = nusselt;
    }
}

TEST_CASE("one formula for every vertical plate stays near the closer one for laminar flow") {
    // Source:    Churchill & Chu (1975) give both. Tolerance 11 % up to Ra 2e7, seen; above, the general formula takes the change
    // to
    //            turbulence in and must be the higher one (29 % at 6e8).
    for (double rayleigh = 1e4; rayleigh <= 1e9; rayleigh *= 3.0) {
        CAPTURE(rayleigh);
        const double ratio = vertical_plate_nusselt(rayleigh, 0.7) / vertical_plate_laminar_nusselt(rayleigh, 0.7);
        if (rayleigh <= 2e7) CHECK(std::abs(ratio - 1.0) <= 0.11);
        if (rayleigh > 2e7) CHECK((ratio > 1.0 && ratio < 1.4));
    }
}

TEST_CASE("every correlation grows with its number") {
    for (double x = 1.0; x < 1e9; x *= 1.3) {
        CHECK(vertical_plate_nusselt(x * 1.3, 0.7) > vertical_plate_nusselt(x, 0.7));
        CHECK(horizontal_cylinder_nusselt(x * 1.3, 0.7) > horizontal_cylinder_nusselt(x, 0.7));
        CHECK(horizontal_hindering_nusselt(x * 1.3) > horizontal_hindering_nusselt(x));
        CHECK(cylinder_forced_nusselt(x * 1.3, 0.7) > cylinder_forced_nusselt(x, 0.7));
        CHECK(plate_forced_nusselt(x * 1.3, 0.7) > plate_forced_nusselt(x, 0.7));
    }
}

TEST_CASE("two kinds of flow combine by the cube and never below half of the larger when they oppose") {
    CHECK(std::abs(combined_coefficient_w_per_m2_k(5.0, 0.0, FlowCombination::transverse) - 5.0) <= 1e-12);
    CHECK(std::abs(combined_coefficient_w_per_m2_k(3.0, 4.0, FlowCombination::assisting) - std::cbrt(91.0)) <= 1e-12);
    CHECK(std::abs(combined_coefficient_w_per_m2_k(3.0, 4.0, FlowCombination::opposing) - std::cbrt(37.0)) <= 1e-12);
    CHECK(std::abs(combined_coefficient_w_per_m2_k(4.0, 4.0, FlowCombination::opposing) - 2.0) <= 1e-12);
    CHECK(combined_coefficient_w_per_m2_k(3.0, 4.0, FlowCombination::opposing) ==
          combined_coefficient_w_per_m2_k(4.0, 3.0, FlowCombination::opposing));
}
