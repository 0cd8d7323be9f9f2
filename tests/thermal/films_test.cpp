// SPDX-License-Identifier: Apache-2.0
#include "bakewright/thermal/films.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <initializer_list>
#include <numbers>

#include "bakewright/base/units.hpp"
#include "tabulated_film.hpp"

using namespace bakewright;
using namespace bakewright::thermal;
using GapLie = GapModel::Lie;
using Lie = FilmModel::Lie;

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

namespace {

GapModel gap(GapLie lie, double width_m, double emissivity = 0.9) {
    GapModel model;
    model.lie = lie;
    model.width_m = width_m;
    model.outer_emissivity = model.inner_emissivity = emissivity;
    return model;
}

/// ISO 15099:2003, 5.3.3.5 (after Wright, ASHRAE Trans. 102 (1996) 799): vertical cavity, each term in its range.
double standard_vertical_nusselt(double rayleigh, double height_over_width) {
    const double by_layer = rayleigh > 5e4   ? 0.0673838 * std::cbrt(rayleigh)
                            : rayleigh > 1e4 ? 0.028154 * std::pow(rayleigh, 0.4134)
                                             : 1.0 + 1.7596678e-10 * std::pow(rayleigh, 2.2984755);
    return std::max(by_layer, 0.242 * std::pow(rayleigh / height_over_width, 0.272));
}

}  // namespace

TEST_CASE("a cavity between walls agrees with the formula of the glazing standard") {
    // Tolerance: 13 %, the distance between the two fits at the ends of their range; 10 % up to Ra 1e5, where double skins lie.
    for (const double aspect : {20.0, 40.0, 80.0}) {
        for (double rayleigh = 10.0; rayleigh < 1e6; rayleigh *= 1.2) {
            CAPTURE(aspect);
            CAPTURE(rayleigh);
            const double ours = std::max(vertical_gap_nusselt(rayleigh), aspect_gap_nusselt(rayleigh, 1.0 / aspect));
            const double ratio = ours / standard_vertical_nusselt(rayleigh, aspect);
            CHECK(std::abs(ratio - 1.0) <= (rayleigh < 1e5 ? 0.10 : 0.13));
        }
    }
}

TEST_CASE("a layer heated from below starts to move at Ra 1708 and joins the turbulent rule") {
    // Source:    onset 1708: classical; Globe & Dropkin 0.069 Ra^(1/3) Pr^0.074. Tolerance 25 %: two experiments, the latter on
    // liquids.
    CHECK(horizontal_gap_nusselt(1700.0) == 1.0);
    CHECK(horizontal_gap_nusselt(1800.0) > 1.05);
    for (double rayleigh = 3e5; rayleigh < 1e8; rayleigh *= 3.0)
        CHECK(std::abs(horizontal_gap_nusselt(rayleigh) / horizontal_gap_turbulent_nusselt(rayleigh, 0.7) - 1.0) <= 0.25);
}

TEST_CASE("a narrow gap, or one heated from above, conducts through still air") {
    const AirProperties air = air_properties(323.15);
    for (const GapLie lie : {GapLie::vertical, GapLie::outer_above, GapLie::outer_below})
        CHECK(std::abs(gap_coefficient_w_per_m2_k(gap(lie, 0.003), 328.15, 318.15) - air.conductivity_w_per_m_k / 0.003) <= 0.01);
    CHECK(std::abs(gap_coefficient_w_per_m2_k(gap(GapLie::outer_above, 0.05), 328.15, 318.15) -
                   air.conductivity_w_per_m_k / 0.05) <= 1e-9);
    CHECK(gap_coefficient_w_per_m2_k(gap(GapLie::outer_below, 0.05), 328.15, 318.15) > 3.0 * air.conductivity_w_per_m_k / 0.05);
    for (const GapLie lie : {GapLie::vertical, GapLie::outer_above, GapLie::outer_below})
        CHECK(std::abs(gap_coefficient_w_per_m2_k(gap(lie, 0.02), 323.15, 323.15) - air.conductivity_w_per_m_k / 0.02) <= 1e-9);
}

TEST_CASE("parallel plates exchange by the grey factor of the textbook") {
    // Source: Incropera et al., 6th ed., section 13.3.3. Two of 0.9: 1/(2/0.9 - 1) = 0.81818; one black: the other's emissivity.
    CHECK(std::abs(parallel_plate_exchange_factor(0.9, 0.9) - 9.0 / 11.0) <= 1e-15);
    CHECK(std::abs(parallel_plate_exchange_factor(1.0, 0.2) - 0.2) <= 1e-15);
    const GapModel model = gap(GapLie::vertical, 0.02);
    const double flux = kStefanBoltzmann * 9.0 / 11.0 * (std::pow(330.0, 4) - std::pow(310.0, 4));
    CHECK(std::abs(gap_radiation_w_per_m2_k(model, 330.0, 310.0) * 20.0 - flux) <= 1e-9);
}

TEST_CASE("air layers have the resistances of the building standard, roughly") {
    // Source:    ISO 6946:2007, table 2 (from memory), unventilated, emissivities 0.9, 10 degC mean: 25 mm 0.16, 0.18, 0.19 m2K/W
    // for
    //            heat flow up, level, down; 5 mm 0.11 each; 50 mm down 0.21.
    // Tolerance: 15 %: a rounded convention for 5 K against correlations.
    const auto resistance = [](GapLie lie, double width_m) {
        return gap_resistance_m2_k_per_w(gap(lie, width_m), 285.65, 280.65);
    };
    CHECK(std::abs(resistance(GapLie::outer_below, 0.025) / 0.16 - 1.0) <= 0.15);
    CHECK(std::abs(resistance(GapLie::vertical, 0.025) / 0.18 - 1.0) <= 0.15);
    CHECK(std::abs(resistance(GapLie::outer_above, 0.025) / 0.19 - 1.0) <= 0.15);
    CHECK(std::abs(resistance(GapLie::outer_above, 0.050) / 0.21 - 1.0) <= 0.15);
    for (const GapLie lie : {GapLie::outer_below, GapLie::vertical, GapLie::outer_above})
        CHECK(std::abs(resistance(lie, 0.005) / 0.11 - 1.0) <= 0.15);
}

TEST_CASE("bare metal faces make a gap insulate better") {
    CHECK(gap_resistance_m2_k_per_w(gap(GapLie::vertical, 0.025, 0.1), 330.0, 310.0) >
          1.5 * gap_resistance_m2_k_per_w(gap(GapLie::vertical, 0.025, 0.9), 330.0, 310.0));
}

TEST_CASE("a tabulated gap is within 0.1 percent of the exact one, and 1.5 percent where convection sets in") {
    for (const GapLie lie : {GapLie::vertical, GapLie::outer_above, GapLie::outer_below}) {
        for (const double width_m : {0.003, 0.02, 0.06}) {
            GapModel model = gap(lie, width_m);
            model.pressure_pa = 9e4;
            const TabulatedGap fast(model);
            for (double film_k = 231.0; film_k < 495.0; film_k += 3.1) {
                for (double difference_k = -60.0; difference_k <= 60.0; difference_k += 0.39) {
                    const double outer_k = film_k + 0.5 * difference_k;
                    const double inner_k = film_k - 0.5 * difference_k;
                    const double exact = gap_coefficient_w_per_m2_k(model, outer_k, inner_k);
                    const double error = std::abs(fast.coefficient_w_per_m2_k(outer_k, inner_k) / exact - 1.0);
                    const double rayleigh = rayleigh_number(air_properties(film_k, 9e4), difference_k, width_m);
                    const bool corner = lie != GapLie::vertical &&
                                        (std::abs(rayleigh / 1708.0 - 1.0) < 0.15 || std::abs(rayleigh / 5830.0 - 1.0) < 0.15);
                    REQUIRE(error <= (corner ? 0.015 : 0.001));
                }
            }
        }
    }
}

TEST_CASE("a tabulated gap gives its own slopes, on packs too") {
    typedef double Four __attribute__((vector_size(32)));
    const double step_k = 1e-5;
    for (const GapLie lie : {GapLie::vertical, GapLie::outer_above, GapLie::outer_below}) {
        const TabulatedGap fast(gap(lie, 0.03));
        for (double outer_k = 300.03; outer_k < 360.0; outer_k += 0.71) {
            TabulatedGap::Value<double> value;
            fast.evaluate(outer_k, 330.0, value);
            const auto at = [&](double outer, double inner) { return fast.coefficient_w_per_m2_k(outer, inner); };
            REQUIRE(std::abs(value.slope_outer - (at(outer_k + step_k, 330.0) - at(outer_k - step_k, 330.0)) / (2 * step_k)) <=
                    1e-4);
            REQUIRE(std::abs(value.slope_inner - (at(outer_k, 330.0 + step_k) - at(outer_k, 330.0 - step_k)) / (2 * step_k)) <=
                    1e-4);
            const Four outer{outer_k, 330.0, 250.0, 480.0};
            const Four inner{330.0, outer_k, 330.0, 330.0};
            TabulatedGap::Value<Four> pack;
            fast.evaluate(outer, inner, pack);
            for (std::size_t lane = 0; lane < 4; ++lane)
                CHECK(std::abs(pack.coefficient_w_per_m2_k[lane] - at(outer[lane], inner[lane])) <= 1e-12);
        }
    }
}

TEST_CASE("a gap with problems is refused and told why") {
    GapModel wrong = gap(GapLie::vertical, 0.0);
    wrong.outer_emissivity = 9.2;
    const auto problems = problems_in(wrong);
    REQUIRE(problems.size() == 2);
    CHECK(problems[0].key == "width");
    CHECK(problems[1].message == "is 9.2, allowed above 0 to 1");
    CHECK_THROWS_AS(TabulatedGap{wrong}, PromiseError);
}

namespace {

FilmModel face(Lie lie) {
    FilmModel model;
    model.lie = lie;
    model.height_m = 2.0;
    model.area_over_perimeter_m = 0.8;
    return model;
}

FilmModel tilted(double tilt_rad) {
    FilmModel model = face(Lie::inclined);
    model.tilt_rad = tilt_rad;
    return model;
}

constexpr double kAirK = 333.15;

}  // namespace

TEST_CASE("a wall and a round bar do not care which side is warmer, at one film temperature") {
    for (const Lie lie : {Lie::vertical, Lie::cylinder_across}) {
        const FilmModel model = face(lie);
        CHECK(film_coefficient_w_per_m2_k(model, 323.15, 343.15) == film_coefficient_w_per_m2_k(model, 343.15, 323.15));
    }
}

TEST_CASE("a roof warmer than the air is an underside cooler than it") {
    CHECK(film_coefficient_w_per_m2_k(face(Lie::facing_up), 343.15, 323.15) ==
          film_coefficient_w_per_m2_k(face(Lie::facing_down), 323.15, 343.15));
    CHECK(film_coefficient_w_per_m2_k(face(Lie::facing_up), 323.15, 343.15) ==
          film_coefficient_w_per_m2_k(face(Lie::facing_down), 343.15, 323.15));
}

TEST_CASE("hot air over a cold roof heats it least, under a cold floor most") {
    const double roof = film_coefficient_w_per_m2_k(face(Lie::facing_up), 313.15, kAirK);
    const double wall = film_coefficient_w_per_m2_k(face(Lie::vertical), 313.15, kAirK);
    const double underside = film_coefficient_w_per_m2_k(face(Lie::facing_down), 313.15, kAirK);
    CHECK(roof < wall);
    CHECK(wall < underside);
}

TEST_CASE("room surfaces have the conventional coefficients of building practice, roughly") {
    // Source:    ISO 6946: R_si 0.10, 0.13, 0.17 m2K/W for heat flow up, level, down; less the radiative part of the standard,
    //            0.9 x 5.7 W/m2K at 20 degC: convection 4.9, 2.6, 0.75 (the standard states 5.0, 2.5, 0.7).
    // Tolerance: a factor of 1.7 either way: conventions for a room of any size against correlations for one face, 5 to 10 K.
    const double room_k = 293.15;
    struct Case {
        Lie lie;
        double sign, conventional;
    };
    for (const Case& c : {Case{Lie::facing_down, 1.0, 5.0}, Case{Lie::vertical, 1.0, 2.5}, Case{Lie::facing_up, 1.0, 0.7}}) {
        for (const double difference_k : {5.0, 7.0, 10.0}) {
            CAPTURE(c.conventional);
            CAPTURE(difference_k);
            const double h = film_coefficient_w_per_m2_k(face(c.lie), room_k - c.sign * difference_k, room_k);
            CHECK(h > c.conventional / 1.7);
            CHECK(h < c.conventional * 1.7);
        }
    }
}

TEST_CASE("with radiation the surface resistances fall in the range of the standard") {
    // Source:    ISO 6946, R_si 0.10 to 0.17 m2K/W, emissivity 0.9, 20 degC. Tolerance 25 %: plausibility, as above.
    const double radiative = 0.9 * 4.0 * kStefanBoltzmann * std::pow(293.15, 3);
    const auto resistance = [&](Lie lie) { return 1.0 / (radiative + film_coefficient_w_per_m2_k(face(lie), 288.15, 293.15)); };
    CHECK(std::abs(resistance(Lie::facing_down) / 0.10 - 1.0) <= 0.25);
    CHECK(std::abs(resistance(Lie::vertical) / 0.13 - 1.0) <= 0.25);
    CHECK(std::abs(resistance(Lie::facing_up) / 0.17 - 1.0) <= 0.25);
}

TEST_CASE("the coefficient grows with the temperature difference and is finite at none") {
    for (const Lie lie : {Lie::vertical, Lie::facing_up, Lie::facing_down, Lie::cylinder_across}) {
        for (const double sign : {-1.0, 1.0}) {
            double before = film_coefficient_w_per_m2_k(face(lie), kAirK, kAirK);
            CHECK(std::isfinite(before));
            CHECK(before < 0.1);
            for (double difference_k = 0.01; difference_k < 60.0; difference_k *= 1.5) {
                const double half = 0.5 * sign * difference_k;  // film temperature kept
                const double h = film_coefficient_w_per_m2_k(face(lie), kAirK + half, kAirK - half);
                CHECK(h > before);
                before = h;
            }
        }
    }
}

TEST_CASE("an inclined face runs from the wall to the roof and the underside without a jump") {
    for (const double surface_k : {313.15, 353.15}) {
        const auto at = [&](double tilt_rad) { return film_coefficient_w_per_m2_k(tilted(tilt_rad), surface_k, kAirK); };
        const double right_angle = 0.5 * std::numbers::pi;
        CHECK(std::abs(at(0.0) - film_coefficient_w_per_m2_k(face(Lie::vertical), surface_k, kAirK)) <= 1e-12);
        CHECK(std::abs(at(right_angle) - film_coefficient_w_per_m2_k(face(Lie::facing_up), surface_k, kAirK)) <= 1e-9);
        CHECK(std::abs(at(-right_angle) - film_coefficient_w_per_m2_k(face(Lie::facing_down), surface_k, kAirK)) <= 1e-9);
        for (double tilt = -right_angle; tilt < right_angle - 1e-3; tilt += 1e-3)
            CHECK(std::abs(at(tilt + 1e-3) / at(tilt) - 1.0) < 0.05);
    }
}

TEST_CASE("a fixed forced coefficient stands alone, combines, and takes the multiplier") {
    FilmModel model = face(Lie::vertical);
    model.forced_w_per_m2_k = 5.0;
    model.natural = false;
    CHECK(film_coefficient_w_per_m2_k(model, 300.0, kAirK) == doctest::Approx(5.0).epsilon(1e-14));
    model.natural = true;
    const double natural = natural_coefficient_w_per_m2_k(model, 300.0, kAirK);
    CHECK(std::abs(film_coefficient_w_per_m2_k(model, 300.0, kAirK) - std::cbrt(125.0 + std::pow(natural, 3))) <= 1e-12);
    const double plain = film_coefficient_w_per_m2_k(model, 300.0, kAirK);
    model.multiplier = 1.3;
    CHECK(std::abs(film_coefficient_w_per_m2_k(model, 300.0, kAirK) - 1.3 * plain) <= 1e-12);
}

TEST_CASE("problems name the field and what is allowed") {
    CHECK(problems_in(FilmModel{}).empty());
    FilmModel still;
    still.natural = false;
    REQUIRE(problems_in(still).size() == 1);
    CHECK(problems_in(still)[0].key == "natural");
    FilmModel wrong;
    wrong.height_m = 0.0;
    wrong.multiplier = -1.0;
    wrong.speed_m_per_s = std::nan("");
    const auto problems = problems_in(wrong);
    REQUIRE(problems.size() == 3);
    CHECK(problems[0].key == "height");
    CHECK(problems[0].message == "is 0, allowed 0.01 m and more");
    CHECK(problems[1].key == "speed");
    CHECK(problems[2].key == "multiplier");
}

TEST_CASE("leaving a published range is told in a sentence") {
    CHECK(range_warnings(face(Lie::vertical), 313.15, kAirK).empty());
    CHECK(range_warnings(face(Lie::vertical), 230.0, 240.0).size() == 1);
    FilmModel wide = face(Lie::facing_up);
    wide.area_over_perimeter_m = 2.0;
    const auto warnings = range_warnings(wide, 313.15, kAirK);  // hindered, Ra above 1e9
    REQUIRE(warnings.size() == 1);
    CHECK(warnings[0].find("1e4 to 1e9") != std::string::npos);
}
