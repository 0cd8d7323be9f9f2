// SPDX-License-Identifier: Apache-2.0
#include "bakewright/base/gauge.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <string>
#include <vector>

#include "bakewright/base/words.hpp"

using namespace bakewright;

namespace {

double gauge_mm(GaugeSeries series, int number) {
    const auto thickness_m = gauge_thickness_m(series, number);
    REQUIRE(thickness_m.has_value());
    return *thickness_m * 1000.0;
}

double gauge_in(GaugeSeries series, int number) { return gauge_mm(series, number) / 25.4; }

struct Row {
    int number;
    double thickness_in;
};

void check_table(GaugeSeries series, const std::vector<Row>& rows, double tolerance_in) {
    for (const Row& row : rows) {
        CAPTURE(row.number);
        CHECK(std::abs(gauge_in(series, row.number) - row.thickness_in) <= tolerance_in);
    }
}

}  // namespace

TEST_CASE("18 gauge is a different thickness in each metal") {
    // Source:    trade tables, from memory: 1.21, 1.31, 1.27 and 1.02 mm.
    // Tolerance: 0.005 mm, half of the last decimal.
    CHECK(std::abs(gauge_mm(GaugeSeries::steel, 18) - 1.21) <= 0.005);
    CHECK(std::abs(gauge_mm(GaugeSeries::galvanised_steel, 18) - 1.31) <= 0.005);
    CHECK(std::abs(gauge_mm(GaugeSeries::stainless_steel, 18) - 1.27) <= 0.005);
    CHECK(std::abs(gauge_mm(GaugeSeries::aluminium, 18) - 1.02) <= 0.005);
}

TEST_CASE("steel gauges follow the Manufacturers' Standard Gauge") {
    // Source: Manufacturers' Standard Gauge for Sheet Steel, from memory, to four decimals of an inch. Tolerance: half of the
    // last.
    check_table(GaugeSeries::steel,
                {{3, 0.2391},
                 {7, 0.1793},
                 {10, 0.1345},
                 {12, 0.1046},
                 {14, 0.0747},
                 {16, 0.0598},
                 {20, 0.0359},
                 {22, 0.0299},
                 {24, 0.0239},
                 {30, 0.0120}},
                0.5e-4);
}

TEST_CASE("galvanised gauges are the steel weights with the zinc added") {
    // Source: Galvanized Sheet Gauge, from memory, to four decimals of an inch. Tolerance: half of the last.
    check_table(GaugeSeries::galvanised_steel,
                {{8, 0.1681},
                 {10, 0.1382},
                 {12, 0.1084},
                 {14, 0.0785},
                 {16, 0.0635},
                 {20, 0.0396},
                 {24, 0.0276},
                 {28, 0.0187},
                 {30, 0.0157}},
                0.5e-4);
}

TEST_CASE("stainless gauges are the thicknesses the law states beside its weights") {
    // Source: 15 U.S.C. 206 gives approximate thickness as fractions of an inch: No. 3 is 1/4, No. 10 is 9/64, No. 16 is 1/16,
    // No. 18 is 1/20, No. 20 is 3/80, No. 30 is 1/80. Exact up to rounding.
    check_table(GaugeSeries::stainless_steel,
                {{3, 1.0 / 4}, {10, 9.0 / 64}, {16, 1.0 / 16}, {18, 1.0 / 20}, {20, 3.0 / 80}, {30, 1.0 / 80}}, 1e-12);
}

TEST_CASE("aluminium gauges are the geometric series between its two anchors") {
    // Source: ASTM B258, from memory: No. 36 is 0.005 in by definition, No. 0 0.3249, No. 10 0.1019, No. 16 0.0508, No. 40
    // 0.0031. Tolerance: half of the last decimal.
    check_table(GaugeSeries::aluminium, {{36, 0.005}}, 1e-12);
    check_table(GaugeSeries::aluminium, {{0, 0.3249}, {10, 0.1019}, {16, 0.0508}, {40, 0.0031}}, 0.5e-4);
}

TEST_CASE("a higher gauge number is a thinner sheet in every series") {
    for (const GaugeSeries series :
         {GaugeSeries::steel, GaugeSeries::galvanised_steel, GaugeSeries::stainless_steel, GaugeSeries::aluminium}) {
        for (int number = 8; number < 30; ++number) CHECK(gauge_mm(series, number) > gauge_mm(series, number + 1));
    }
}

TEST_CASE("numbers outside of a series have no thickness") {
    for (const int number : {-1, 2, 31, std::numeric_limits<int>::min(), std::numeric_limits<int>::max()}) {
        CHECK_FALSE(gauge_thickness_m(GaugeSeries::steel, number));
        CHECK_FALSE(gauge_thickness_m(GaugeSeries::stainless_steel, number));
    }
    CHECK_FALSE(gauge_thickness_m(GaugeSeries::galvanised_steel, 7));
    CHECK_FALSE(gauge_thickness_m(GaugeSeries::aluminium, -1));
    CHECK_FALSE(gauge_thickness_m(GaugeSeries::aluminium, 41));
    CHECK_FALSE(gauge_thickness_m(GaugeSeries::none, 18));
}

TEST_CASE("a gauge series is found again by its name") {
    for (const GaugeSeries series : {GaugeSeries::none, GaugeSeries::steel, GaugeSeries::galvanised_steel,
                                     GaugeSeries::stainless_steel, GaugeSeries::aluminium}) {
        CHECK(value_of_word<GaugeSeries>(word_of(series)) == series);
    }
    CHECK_FALSE(value_of_word<GaugeSeries>("brass"));
    CHECK_FALSE(value_of_word<GaugeSeries>(""));
}
