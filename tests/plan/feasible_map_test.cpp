// SPDX-License-Identifier: Apache-2.0
#include "bakewright/plan/feasible_map.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "bakewright/base/units.hpp"
#include "plan/lumped_example.hpp"

using namespace bakewright;
using namespace bakewright::plan;
using Cell = MapRow::Cell;

// All shells and limits here are invented.

namespace {

PlanOptions within_two_hours(double lowest_c, double highest_c) {
    PlanOptions options = set_between(lowest_c, highest_c);
    options.longest_hold_s = 2.0 * kSecondPerHour;
    return options;
}

/// The skin may be at 62 degC and above for 40 min in one bake.
Example with_limit() {
    Example example;
    cure::HeatSensitiveItem item;
    item.name = "skin";
    item.limits = {{celsius_to_kelvin(62.0), minutes_to_seconds(40.0), cure::ExposureScope::bake}};
    bake::Item body;
    body.name = "trim";
    body.place = bake::Item::Place::zone;
    body.where = "skin";
    body.heat_capacity_j_per_k = 1.0;
    body.conductance_w_per_k = 5.0;
    example.shell.items = {body};
    item.name = "trim";
    example.items = {item};
    return example;
}

}  // namespace

TEST_CASE("the shortest hold of the map is where the planned cycle begins to cure") {
    // A hold one error longer cures, one error shorter does not; and the plan's whole minutes are the next ones above.
    const Example example;
    const PlanOptions options = within_two_hours(65.0, 65.0);
    const MapRow row = feasible_map(example.task(), options, {}).rows.front();
    REQUIRE(row.shortest_hold_s.has_value());
    const Plan plan = plan_cycle(example.task(), options);
    REQUIRE(plan.candidates.front().hold_s.has_value());
    CHECK(*plan.candidates.front().hold_s >= *row.shortest_hold_s - 5.0);
    CHECK(*plan.candidates.front().hold_s < *row.shortest_hold_s + 60.0);
    CHECK(row.last_to_cure.subject == "skin");
}

TEST_CASE("bounds do not move by more than their error when they are found more exactly") {
    const Example example = with_limit();
    MapOptions coarse, fine;
    coarse.bound_error_s = 30.0;
    fine.bound_error_s = 0.5;
    const MapRow one = feasible_map(example.task(), within_two_hours(66.0, 66.0), coarse).rows.front();
    const MapRow two = feasible_map(example.task(), within_two_hours(66.0, 66.0), fine).rows.front();
    REQUIRE(one.shortest_hold_s.has_value());
    REQUIRE(two.shortest_hold_s.has_value());
    REQUIRE(one.longest_hold_s.has_value());
    REQUIRE(two.longest_hold_s.has_value());
    CHECK(std::abs(*one.shortest_hold_s - *two.shortest_hold_s) <= 30.0);
    CHECK(std::abs(*one.longest_hold_s - *two.longest_hold_s) <= 30.0);
    CHECK(*two.longest_hold_s > *two.shortest_hold_s);
    REQUIRE(two.first_too_hot.has_value());
    CHECK(two.first_too_hot->subject == "trim");
}

TEST_CASE("cells say what fails on either side of the bounds") {
    MapRow row;
    row.shortest_hold_s = 1800.0;
    row.longest_hold_s = 3600.0;
    CHECK(row.at(0, 1799.0) == Cell::under);
    CHECK(row.at(0, 1800.0) == Cell::feasible);
    CHECK(row.at(0, 3600.0) == Cell::feasible);
    CHECK(row.at(0, 3601.0) == Cell::hot);
    row.warnings.emplace_back();
    CHECK(row.at(0, 2000.0) == Cell::warned);
    row.longest_hold_s = 900.0;
    CHECK(row.at(0, 1200.0) == Cell::both);
    row.shortest_hold_s.reset();
    CHECK(row.at(0, 600.0) == Cell::under);
    row.longest_hold_s.reset();
    CHECK(row.at(0, 600.0) == Cell::both);
}

TEST_CASE("a hotter set point needs no longer hold and allows no longer one") {
    const Example example = with_limit();
    const FeasibleMap map = feasible_map(example.task(), within_two_hours(62.0, 70.0), {});
    REQUIRE(map.rows.size() == 9);
    for (std::size_t i = 0; i + 1 < map.rows.size(); ++i) {
        const MapRow &cool = map.rows[i], &hot = map.rows[i + 1];
        REQUIRE(cool.shortest_hold_s.has_value());
        CHECK(*hot.shortest_hold_s <= *cool.shortest_hold_s + 5.0);
        if (cool.longest_hold_s && hot.longest_hold_s) CHECK(*hot.longest_hold_s <= *cool.longest_hold_s + 5.0);
    }
}

TEST_CASE("a set point under the sheet's temperature cures at no hold, and the zone is named") {
    const Example example;
    const MapRow row = feasible_map(example.task(), within_two_hours(58.0, 58.0), {}).rows.front();
    CHECK_FALSE(row.shortest_hold_s.has_value());
    CHECK(row.last_to_cure.subject == "skin");
    CHECK(row.longest_hold_s == 2.0 * kSecondPerHour);
    CHECK_FALSE(row.first_too_hot.has_value());
}

TEST_CASE("a stopped map says so, and options out of range are refused") {
    const Example example;
    PlanOptions options = within_two_hours(60.0, 70.0);
    options.progress = [](double) { return false; };
    const FeasibleMap stopped = feasible_map(example.task(), options, {});
    CHECK_FALSE(stopped.complete);
    CHECK(stopped.rows.size() < 11);
    MapOptions wrong;
    wrong.hold_step_s = 1.0;
    CHECK_THROWS_AS((void)feasible_map(example.task(), within_two_hours(60.0, 70.0), wrong), InputError);
}
