#include "bakewright/thermal/gap.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <initializer_list>

#include "bakewright/base/units.hpp"
#include "bakewright/thermal/films.hpp"
#include "bakewright/thermal/tabulated_gap.hpp"

using namespace bakewright;
using namespace bakewright::thermal;

namespace {

using GapLie = GapModel::Lie;

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
    CHECK(std::abs(gap_coefficient_w_per_m2_k(gap(GapLie::outer_above, 0.05), 328.15, 318.15) - air.conductivity_w_per_m_k / 0.05) <=
          1e-9);
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
    const auto resistance = [](GapLie lie, double width_m) { return gap_resistance_m2_k_per_w(gap(lie, width_m), 285.65, 280.65); };
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
