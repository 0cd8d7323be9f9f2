// SPDX-License-Identifier: Apache-2.0
#include "bakewright/builder/heard.hpp"

#include "builder_support.hpp"

using namespace bakewright;
using namespace builder_support;
using builder::Expected;
using builder::heard;

namespace {

constexpr Expected kSheet{.dimension = Dimension::length, .gauge = GaugeSeries::steel, .bare = "mm", .takes_bare = false};
constexpr Expected kLong{.dimension = Dimension::length, .bare = "m", .takes_bare = true};
constexpr Expected kTime{.dimension = Dimension::time, .bare = "min"};
constexpr Expected kTemperature{.dimension = Dimension::temperature, .bare = "degC", .takes_bare = true};
constexpr Expected kPower{.dimension = Dimension::power, .bare = "kW"};

struct SaidCase {
    const char* text;
    Expected expected;
    double si;
};

}  // namespace

TEST_CASE("what people write in a shop is read as they mean it") {
    // Source: exact sizes of units (NIST SP 811); gauges as in tests/base/gauge_test.cpp; wire gauge from memory.
    // Tolerance: 1.2e-4 of the value: gauges and powers are given to four digits here.
    const SaidCase cases[] = {{"16 ga", kSheet, 1.51841e-3},
                              {"16ga", kSheet, 1.51841e-3},
                              {"16 gage", kSheet, 1.51841e-3},
                              {"16 swg", kSheet, 1.626e-3},
                              {"3/16\"", kSheet, 4.7625e-3},
                              {"3/16 in", kSheet, 4.7625e-3},
                              {"1/2 inch", kSheet, 12.7e-3},
                              {"half inch", kSheet, 12.7e-3},
                              {"\u00bd\"", kSheet, 12.7e-3},
                              {"inch and a half", kSheet, 38.1e-3},
                              {"1-1/2\"", kSheet, 38.1e-3},
                              {"10 thou", kSheet, 0.254e-3},
                              {".060\"", kSheet, 1.524e-3},
                              {"1,5 mm", kSheet, 1.5e-3},
                              {"1.5 mm \u00b10.1", kSheet, 1.5e-3},
                              {"about 1.5 mm", kSheet, 1.5e-3},
                              {"10-12 mm", kSheet, 11e-3},
                              {"7'6\"", kLong, 2.286},
                              {"7ft6", kLong, 2.286},
                              {"7 foot 6", kLong, 2.286},
                              {"45'", kLong, 13.716},
                              {"2m40", kLong, 2.40},
                              {"45 mins", kTime, 2700.0},
                              {"1:30", kTime, 5400.0},
                              {"1h30", kTime, 5400.0},
                              {"90m", kTime, 5400.0},
                              {"half an hour", kTime, 1800.0},
                              {"an hour and a half", kTime, 5400.0},
                              {"1 day", kTime, 86400.0},
                              {"140F", kTemperature, 333.15},
                              {"140 f", kTemperature, 333.15},
                              {"140\u00b0F", kTemperature, 333.15},
                              {"60", kTemperature, 333.15},
                              {"60 deg", kTemperature, 333.15},
                              {"60\u00b0", kTemperature, 333.15},
                              {"150 kW", kPower, 150e3},
                              {"150kw", kPower, 150e3},
                              {"500 MBH", kPower, 146535.5},
                              {"500,000 BTU", kPower, 146535.5},
                              {"5 therms an hour", kPower, 146535.5},
                              {"40 l of oil an hour", kPower, 400e3}};
    for (const SaidCase& one : cases) {
        CAPTURE(one.text);
        CHECK(is_near(heard(one.text, one.expected).value / one.si, 1.0, 1.2e-4));
    }
}

TEST_CASE("what leaves a doubt is asked about, with what was probably meant") {
    const auto asked = [](const char* text, const Expected& expected) { return meant_by([&] { return heard(text, expected); }); };
    CHECK(asked("16g", kSheet) == "16 ga");
    CHECK(asked("18 AWG", kSheet) == "18 ga");
    CHECK(asked("3/16", kSheet) == "3/16 in");
    CHECK(asked("0.060", kSheet) == "0.060 in");
    CHECK(asked("1.5", kSheet) == "1.5 mm");
    CHECK(asked("90", kTime) == "90 min");
    CHECK(asked("45'", kTime) == "45 min");
    CHECK(asked("150", kPower) == "150 kW");
    CHECK(asked("140", kTemperature) == "140 degF");
    CHECK(asked("overnight", kTime).empty());
    CHECK(asked("thick", kSheet).empty());
    CHECK(asked("12 mm", kTime).empty());
}

TEST_CASE("a range keeps its ends, and of a sheet's minutes the longer counts") {
    const builder::Heard thickness = heard("10-12 mm", kSheet);
    CHECK(is_near(thickness.low, 0.010, 1e-12));
    CHECK(is_near(thickness.high, 0.012, 1e-12));
    const builder::Heard about = heard("about 2 mm", kSheet);
    CHECK(about.low < 2e-3);
    CHECK(about.high > 2e-3);
    const builder::Heard minutes = heard("20-30 min", {.dimension = Dimension::time, .takes_longer = true});
    CHECK(minutes.value == 1800.0);
    CHECK(minutes.remark.find("longer") != std::string::npos);
    CHECK(heard("1-1/2 in", kSheet).low == heard("1-1/2 in", kSheet).high);  // one number, no range
    CHECK(is_near(heard("1.5 mm +-0.1", kSheet).low, 1.4e-3, 1e-12));
}

TEST_CASE("three sizes with an x between are read in one go") {
    const auto check = [](const char* text, double l, double w, double h) {
        CAPTURE(text);
        const std::vector<builder::Heard> sizes = builder::heard_sizes(text, 3);
        CHECK(is_near(sizes[0].value, l, 1e-9));
        CHECK(is_near(sizes[1].value, w, 1e-9));
        CHECK(is_near(sizes[2].value, h, 1e-9));
    };
    check("7 x 2.3 x 2.9 m", 7.0, 2.3, 2.9);
    check("7 x 2.3 x 2.9", 7.0, 2.3, 2.9);
    check("7m x 2300mm x 2.9m", 7.0, 2.3, 2.9);
    check("7 by 2,3 by 2,9 m", 7.0, 2.3, 2.9);
    check("7 \u00d7 2.3 \u00d7 2.9 m", 7.0, 2.3, 2.9);
    check("23' x 7'6\" x 9'6\"", 7.0104, 2.286, 2.8956);
    check("36' x 16' x 15'", 10.9728, 4.8768, 4.572);
    CHECK(meant_by([] { return builder::heard_sizes("7000 x 2300 x 2900", 3); }) == "7000 x 2300 x 2900 mm");
    CHECK(meant_by([] { return builder::heard_sizes("7 x 2.3 m", 3); }).empty());
}
