// SPDX-License-Identifier: Apache-2.0
#include "bakewright/builder/sections.hpp"

#include "builder_support.hpp"

using namespace bakewright;
using namespace builder_support;

TEST_CASE("hollow sections have the outline and mass of the standard's tables") {
    // Source: mass per metre of EN 10219-2 sizes, from memory; steel 7850 kg/m3.
    // Tolerance: 0.01 kg/m and 0.0001 m, the tables' last digits.
    struct Row {
        double b, h, t, outline_m, kg_per_m;
    };
    const Row rows[] = {{40, 40, 2.5, 0.1514, 2.82}, {40, 40, 3, 0.1497, 3.30},   {50, 50, 3, 0.1897, 4.25},
                        {60, 40, 3, 0.1897, 4.25},   {60, 60, 3, 0.2297, 5.19},   {80, 40, 3, 0.2297, 5.19},
                        {100, 50, 4, 0.2863, 8.59},  {100, 100, 5, 0.3828, 14.41}};
    for (const Row& row : rows) {
        CAPTURE(row.b);
        CAPTURE(row.t);
        const builder::Section section = builder::hollow_section(1e-3 * row.b, 1e-3 * row.h, 1e-3 * row.t);
        CHECK(is_near(section.perimeter_m, row.outline_m, 1e-4));
        CHECK(is_near(section.area_m2 * 7850.0, row.kg_per_m, 0.01));
        CHECK(is_near(section.layer_m() * section.perimeter_m, section.area_m2, 1e-15));
    }
}

TEST_CASE("open sections have their developed width; a bar its quarter diameter") {
    CHECK(is_near(builder::channel(0.180, 0.060, 0.005).perimeter_m, 0.290, 1e-12));
    CHECK(is_near(builder::channel(0.080, 0.040, 0.003).area_m2 * 7850.0, 3.63, 0.01));
    CHECK(is_near(builder::angle_section(0.05, 0.03, 0.004).perimeter_m, 0.076, 1e-12));
    CHECK(is_near(builder::round_bar(0.02).layer_m(), 0.005, 1e-12));
    CHECK(is_near(builder::developed_factor(0.072, 0.070, 0.068, 0.036), 1.0644, 1e-4));
    CHECK(is_near(builder::developed_factor(0.110, 0.104, 0.018, 0.0456), 1.2482, 1e-4));
    CHECK(is_near(builder::developed_factor(0.1, 0.1, 0.05, 0.0), 1.0, 1e-12));
}

TEST_CASE("sections are read as people say them") {
    const builder::HeardSection tube = builder::heard_section("40 x 40 x 2.5 tube every 600 mm");
    CHECK(tube.section.is_closed);
    CHECK(is_near(tube.spacing_m, 0.6, 1e-12));
    CHECK(is_near(tube.section.area_m2, 3.58905e-4, 1e-7));
    CHECK(builder::heard_section("40 mm square tube").section.area_m2 == tube.section.area_m2);
    CHECK(is_near(builder::heard_section("two channels 180 x 60 x 5").section.perimeter_m, 0.290, 1e-12));
    const builder::HeardSection inches = builder::heard_section("1-1/2\" tube at 24\"");
    CHECK(is_near(inches.section.depth_m, 0.0381, 1e-9));
    CHECK(is_near(inches.spacing_m, 0.6096, 1e-9));
    CHECK_THROWS_AS(static_cast<void>(builder::heard_section("tube")), builder::NotUnderstood);
    CHECK_THROWS_AS(static_cast<void>(builder::heard_section("40 x 40 x 30")), builder::NotUnderstood);
}
