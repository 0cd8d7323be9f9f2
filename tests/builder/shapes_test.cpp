// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "bakewright/bake/predict.hpp"
#include "bakewright/profile/read.hpp"
#include "builder_support.hpp"

using namespace bakewright;
using namespace builder_support;

namespace {

struct PartRow {
    const char* name;
    double area_m2, kg, height_m;
};

void check_link(const bake::Shell& shell, const char* from, const char* to, double w_per_k) {
    CAPTURE(from);
    CAPTURE(to);
    const auto found =
        std::ranges::find_if(shell.links, [&](const bake::Link& link) { return link.from == from && link.to == to; });
    REQUIRE(found != shell.links.end());
    CHECK(is_near(found->conductance_w_per_k, w_per_k, 0.006 * w_per_k + 1e-9));
}

}  // namespace

TEST_CASE("the 7 m box van has the areas, masses and heights that its sizes give by hand") {
    // Source: closed forms by hand, side view times width: box 4.10 x 2.30 x 2.00 m behind a cap 0.35 m deep, cab 2.80 m.
    // Tolerance: the digits of the table: 0.001 m2, 0.02 kg, 0.01 m.
    const PartRow rows[] = {
        {"box_roof", 8.625, 82.24, 2.9},        {"box_sides_upper", 7.500, 71.52, 2.4}, {"box_sides_lower", 7.500, 71.52, 1.4},
        {"skirts", 2.835, 27.03, 0.675},        {"wheel_arches", 1.110, 17.43, 0.675},  {"front_cap", 6.805, 49.00, 1.9},
        {"rear_doors", 3.680, 52.00, 1.9},      {"rear_frame", 0.920, 21.67, 1.9},      {"box_floor", 9.430, 101.84, 0.9},
        {"posts", 7.631, 142.00, 1.9},          {"sill_rails", 1.556, 34.81, 0.87},     {"cross_members", 3.188, 75.07, 0.84},
        {"chassis_rails", 4.060, 159.35, 0.70}, {"hood", 2.000, 12.56, 1.25},           {"cab_front", 1.600, 10.05, 0.85},
        {"cab_roof", 1.800, 11.30, 2.15},       {"cab_back", 3.400, 21.35, 1.30},       {"cab_sides", 2.246, 14.10, 1.10},
        {"cab_doors", 3.109, 36.61, 1.20},      {"cab_glass", 3.500, 43.75, 1.70},      {"cab_floor", 3.600, 33.91, 0.45}};
    const builder::Built built = builder::build_shell("outreach_van", outreach_van(), shipped());
    const bake::Shell& shell = built.shell.shell;
    CHECK(shell.zones.size() == std::size(rows));
    for (const PartRow& row : rows) {
        CAPTURE(row.name);
        const bake::Zone* const zone = shell.find_zone(row.name);
        REQUIRE(zone != nullptr);
        CHECK(is_near(zone->area_m2, row.area_m2, 1e-3));
        CHECK(is_near(mass_kg(*zone), row.kg, 0.03));
        CHECK(is_near(zone->height_m, row.height_m, 0.01));
        CHECK(!zone->places.empty());
    }
    CHECK(is_near(built.mass_kg, 1089.1, 0.2));
    CHECK(is_near(built.painted_area_m2, 53.13, 0.01));
    REQUIRE(shell.cavities.size() == 2);
    CHECK(is_near(shell.cavities[0].volume_m3, 18.29, 0.01));
    CHECK(is_near(shell.cavities[1].volume_m3, 4.779, 0.001));
}

TEST_CASE("the box van's heat paths are those of its seams by hand") {
    // Source: fins in series, tests/builder/seams_test.cpp, times lengths by hand. Tolerance: 0.6 %, the digits of the numbers.
    const builder::Built built = builder::build_shell("outreach_van", outreach_van(), shipped());
    const bake::Shell& shell = built.shell.shell;
    check_link(shell, "box_sides_upper", "posts", 16.64);
    check_link(shell, "box_roof", "posts", 19.13);
    check_link(shell, "box_roof", "box_sides_upper", 2.71);
    check_link(shell, "box_sides_upper", "box_sides_lower", 2.92);
    check_link(shell, "box_sides_lower", "sill_rails", 5.06);
    check_link(shell, "skirts", "sill_rails", 4.25);
    check_link(shell, "wheel_arches", "sill_rails", 1.58);
    check_link(shell, "front_cap", "posts", 1.70);
    check_link(shell, "posts", "sill_rails", 0.957);
    check_link(shell, "cross_members", "sill_rails", 4.16);
    check_link(shell, "cross_members", "chassis_rails", 5.40);
    check_link(shell, "box_floor", "cross_members", 13.80);
    check_link(shell, "rear_doors", "rear_frame", 0.90);
    check_link(shell, "rear_frame", "posts", 7.72);
    check_link(shell, "cab_doors", "cab_sides", 1.20);
    check_link(shell, "cab_floor", "chassis_rails", 0.30);
}

TEST_CASE("the parts of every closed body add up to the prism of its sizes") {
    // Source: prism rule by hand. Tolerance: 0.003 m2, areas are rounded to 0.0001 m2 each.
    const auto sums = [](builder::Answers answers, double expected_m2) {
        CAPTURE(answers.at("shape"));
        const builder::Built built = builder::build_shell("own", answers, shipped());
        CHECK(is_near(built.check_area_m2, expected_m2, 0.006));
        CHECK(is_near(built.parts_area_m2, built.check_area_m2, 0.003));
        CHECK(built.doubts.empty());
    };
    sums(outreach_van(), 44.460 + 21.856);
    sums({{"shape", "bus"}, {"size", "12 x 2.55 x 3.65 m"}, {"floor", "0.9 m, 0.3 m"}}, 141.23);
    sums({{"shape", "container"}, {"size", "6.058 x 2.438 x 2.591 m"}}, 73.57);
    sums({{"shape", "tank"}, {"size", "5 x 2.44 x 2.80 m"}, {"floor", "0.9 m, 0.6 m"}, {"gas_free", "yes"}}, 41.50);
    sums({{"shape", "cab"}, {"size", "2.8 x 2.0 x 2.15 m"}, {"floor", "0.9 m, 0.45 m"}}, 21.856);
    sums({{"shape", "loose panels"}, {"panels", "2 doors 1.2 x 0.9 m, 0.8 mm steel; hood 1.5 x 1.2 m, 1 mm ally"}}, 3.96);
    sums({{"shape", "one panel"}, {"panels", "600 x 500 mm"}}, 0.30);
}

TEST_CASE("skins and floor of a freight container weigh what its sizes say") {
    // Source: by hand, 1.6 mm sides (x 1.0644), 2 mm roof, front (x 1.2482) and doors of steel, 28 mm of board at 600 kg/m3:
    // 419.7 + 231.9 + 123.8 + 99.2 + 248.1 kg. Tolerance: 0.5 kg, rounding of the five.
    const builder::Built built =
        builder::build_shell("own", {{"shape", "container"}, {"size", "6.058 x 2.438 x 2.591 m"}}, shipped());
    double kg = 0.0;
    for (const char* name : {"roof", "sides", "front_end", "doors", "floor"}) kg += mass_kg(*built.shell.shell.find_zone(name));
    CHECK(is_near(kg, 1122.7, 0.5));
}

TEST_CASE("a shell keeps what was typed, tells what was assumed, and opens at its questions again") {
    builder::Answers answers = outreach_van();
    answers["sides"] = "16 ga galv";
    const builder::Built built = builder::build_shell("outreach_van", answers, shipped());
    CAPTURE(built.text);
    CHECK(built.text.find("{ material = \"galvanised_steel\", thickness = \"16 gauge\" }") != std::string::npos);
    CHECK(built.text.find("# as said") != std::string::npos);
    CHECK(built.text.find("assumed, common practice, wall 2 to 3 mm") != std::string::npos);
    CHECK(built.text.find("from the sizes: 3.75 x 2.3 m") != std::string::npos);
    const auto read = profile::read_shell(built.text, "outreach_van.toml", shipped());
    CHECK(read.problems.empty());
    CHECK(read.record.shell.answers == answers);
    CHECK(builder::build_shell("outreach_van", read.record.shell.answers, shipped()).text == built.text);
    const auto assumes = [&](const char* what) {
        return std::ranges::any_of(built.assumed, [&](const builder::Assumption& one) { return one.what == what; });
    };
    CHECK(!assumes("box sides, upper half"));
    CHECK(assumes("posts and bows"));
}

TEST_CASE("a weight is held against the parts; what drives is a part of its own") {
    builder::Answers answers = outreach_van();
    answers["mass"] = "2600 kg";
    const builder::Built built = builder::build_shell("own", answers, shipped());
    CHECK(built.doubts.empty());
    const bake::Zone* const gear = built.shell.shell.find_zone("running_gear");
    REQUIRE(gear != nullptr);
    CHECK(is_near(mass_kg(*gear), 2600.0 - 1089.1, 0.3));
    answers["mass"] = "900 kg";
    const builder::Built light = builder::build_shell("own", answers, shipped());
    REQUIRE(light.doubts.size() == 1);
    CHECK(light.doubts[0].question.find("900") != std::string::npos);
}

TEST_CASE("a tank that is not certified, and gas or fuel inside, are refused") {
    builder::Answers tank{{"shape", "tank"}, {"size", "5 x 2.4 x 2.8 m"}, {"gas_free", "no"}};
    CHECK_THROWS_WITH_AS(static_cast<void>(builder::build_shell("own", tank, shipped())), doctest::Contains("certified gas-free"),
                         builder::AnswerNotUnderstood);
    builder::Answers van = outreach_van();
    for (const char* text : {"seats, propane bottle", "a fuel can", "spray cans"}) {
        van["inside"] = text;
        CAPTURE(text);
        CHECK_THROWS_WITH_AS(static_cast<void>(builder::build_shell("own", van, shipped())), doctest::Contains("take it out"),
                             builder::AnswerNotUnderstood);
    }
}

TEST_CASE("things inside bring their limits, trim its place and its bond") {
    builder::Answers van = outreach_van();
    van["inside"] = "seats, screen, shelves";
    van["bare"] = "rub rail 2 x 4 m x 80 mm stainless";
    const builder::Built built = builder::build_shell("own", van, shipped());
    CHECK(built.shell.item_limits.size() == 2);
    CHECK(built.shell.shell.cavities[0].contents_heat_capacity_j_per_k > 0.0);
    const bake::Zone* const rail = built.shell.shell.find_zone("rub_rail_1");
    REQUIRE(rail != nullptr);
    CHECK(is_near(rail->area_m2, 0.64, 1e-9));
    CHECK(!rail->coated);
    CHECK(rail->outer.emissivity == rail->layers.front().material.emissivity);
}
