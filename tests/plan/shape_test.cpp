// SPDX-License-Identifier: Apache-2.0
// What a planned cycle is made of: steps, second holds, ramps and holds fixed or free.

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "bakewright/plan/feasible_map.hpp"
#include "bakewright/plan/plan.hpp"
#include "plan/lumped_example.hpp"

using namespace bakewright;
using namespace bakewright::plan;
using bake::StageKind;

// All shells and limits here are invented.

namespace {

std::vector<StageKind> kinds(const bake::Cycle& cycle) {
    std::vector<StageKind> all;
    for (const bake::Stage& stage : cycle.stages) all.push_back(stage.kind);
    return all;
}

}  // namespace

TEST_CASE("a step on the way and a second hold stand in the planned cycle, in their place and with their times") {
    const Example example;
    PlanOptions options = only_at(65.0);
    options.flash_off_s = 300.0;
    options.steps = {{celsius_to_kelvin(45.0), 1200.0}};
    options.second_holds = {{celsius_to_kelvin(50.0), 900.0}};
    const Plan plan = plan_cycle(example.task(), options);
    REQUIRE(plan.feasible);
    using enum StageKind;
    const std::vector<StageKind> wanted{flash_off, ramp, hold, ramp, hold, ramp, hold, cool};
    CHECK(kinds(plan.cycle) == wanted);
    CHECK(*plan.cycle.stages[2].setpoint_k == celsius_to_kelvin(45.0));
    CHECK(*plan.cycle.stages[2].duration_s == 1200.0);
    CHECK(*plan.cycle.stages[4].duration_s == *plan.chosen->hold_s);
    CHECK(*plan.cycle.stages[6].setpoint_k == celsius_to_kelvin(50.0));
    CHECK(*plan.cycle.stages[6].duration_s == 900.0);
}

TEST_CASE("the vapour purge comes last before the heat, and the flash-off leaves it room under the sheet's longest") {
    Example example;
    example.coating.flash_off_minimum_s = 600.0;
    PlanOptions options = only_at(65.0);
    options.purge_s = 120.0;
    const Plan plan = plan_cycle(example.task(), options);
    REQUIRE(plan.feasible);
    using enum StageKind;
    CHECK(kinds(plan.cycle) == std::vector<StageKind>{flash_off, purge, ramp, hold, cool});
    CHECK(*plan.cycle.stages[0].duration_s == 600.0);
    CHECK(*plan.cycle.stages[1].duration_s == 120.0);
    CHECK(plan.verdict.worst() == cure::Word::good);
    example.coating.flash_off_maximum_s = 660.0;
    CHECK(planned_flash_off_s(example.coating, options) == 540.0);
    options.flash_off_s = 600.0;  // asked for
    CHECK(planned_flash_off_s(example.coating, options) == 600.0);
}

TEST_CASE("a flash-off that no sheet prints is planned with 15 min, and asked for") {
    Example example;
    example.coating.flash_off_minimum_s.reset();
    const Plan plan = plan_cycle(example.task(), only_at(65.0));
    REQUIRE(plan.feasible);
    CHECK(plan.cycle.stages.front().kind == StageKind::flash_off);
    CHECK(*plan.cycle.stages.front().duration_s == 900.0);
    REQUIRE(plan.verdict.questions.size() == 1);
    CHECK(plan.verdict.questions.front().find("flash_off_minimum") != std::string::npos);
}

TEST_CASE("a flash-off shorter than the sheet's is planned where it is asked for, and the plan is CHECK") {
    Example example;
    example.coating.flash_off_minimum_s = 600.0;
    PlanOptions options = only_at(65.0);
    options.flash_off_s = 120.0;
    const Plan plan = plan_cycle(example.task(), options);
    REQUIRE(plan.feasible);
    REQUIRE(plan.verdict.warnings.size() == 1);
    CHECK(plan.verdict.warnings.front().kind == cure::HeatWarningKind::heated_too_soon);
    CHECK(plan.verdict.worst() == cure::Word::check);
}

TEST_CASE("a part of which no limit is known makes the plan CHECK; no cycle is sought that it could not mend") {
    Example example;
    example.items = {{"skin", "", {}, {}, {"cork board"}}};
    const Plan plan = plan_cycle(example.task(), only_at(65.0));
    REQUIRE(plan.feasible);
    CHECK(plan.verdict.worst() == cure::Word::check);
    CHECK(plan.verdict.items.front().word == cure::Word::check);
    // A limit that is known still bounds it: the skin settles at 65 degC, and 3 K under 66 are near.
    example.items.front().limits = {{celsius_to_kelvin(66.0), 0.0}};
    CHECK_FALSE(plan_cycle(example.task(), only_at(65.0)).feasible);
    example.items.front().limits.front().kind = cure::LimitKind::warn;
    CHECK(plan_cycle(example.task(), only_at(65.0)).feasible);
}

TEST_CASE("a second hold hotter than the first can finish the cure, and the first is as short as may be") {
    // 58 degC never cures a sheet of 60; 66 degC for an hour after it does, whatever the first hold.
    const Example example;
    PlanOptions options = only_at(58.0);
    options.second_holds = {{celsius_to_kelvin(66.0), kSecondPerHour}};
    const Plan plan = plan_cycle(example.task(), options);
    REQUIRE(plan.feasible);
    CHECK(*plan.chosen->hold_s == kSecondPerMinute);
    CHECK_FALSE(plan_cycle(example.task(), only_at(58.0)).feasible);
}

TEST_CASE(
    "a plan with a step is no sooner cured by its hold than the same without, and set points under the step are not tried") {
    const Example example;
    PlanOptions options = only_at(65.0);
    const double without_s = *plan_cycle(example.task(), options).chosen->hold_s;
    options.steps = {{celsius_to_kelvin(55.0), 1800.0}};
    const double with_s = *plan_cycle(example.task(), options).chosen->hold_s;
    CHECK(with_s <= without_s);  // the skin is warmer when the hold begins
    CHECK(with_s >= without_s - 600.0);
    options.lowest_setpoint_k = celsius_to_kelvin(45.0);
    CHECK(plan_cycle(example.task(), options).candidates.front().setpoint_k == celsius_to_kelvin(55.0));
    options.steps.front().setpoint_k = celsius_to_kelvin(70.0);
    CHECK_THROWS_AS((void)plan_cycle(example.task(), options), InputError);
}

TEST_CASE("a hold that is fixed is kept, and cures or does not") {
    const Example example;
    PlanOptions options = only_at(65.0);
    const double needed_s = *plan_cycle(example.task(), options).chosen->hold_s;
    options.shortest_hold_s = options.longest_hold_s = needed_s + 600.0;
    const Plan longer = plan_cycle(example.task(), options);
    REQUIRE(longer.feasible);
    CHECK(*longer.chosen->hold_s == needed_s + 600.0);
    options.shortest_hold_s = options.longest_hold_s = needed_s - 120.0;
    CHECK_FALSE(plan_cycle(example.task(), options).feasible);
    options.longest_hold_s = 4.0 * kSecondPerHour;
    CHECK(*plan_cycle(example.task(), options).chosen->hold_s == needed_s);
}

TEST_CASE("a free ramp is tried from fast to slow, and the coating's heating rate still bounds it") {
    Example example;
    PlanOptions options = only_at(65.0);
    options.ramp_k_per_s = 3.0 / 60.0;
    options.slowest_ramp_k_per_s = 2.0 / 60.0;
    const Plan plan = plan_cycle(example.task(), options);
    REQUIRE(plan.candidates.size() == 5);
    for (std::size_t i = 0; i + 1 < plan.candidates.size(); ++i) {
        CHECK(plan.candidates[i].ramp_k_per_s > plan.candidates[i + 1].ramp_k_per_s);
        CHECK(plan.candidates[i].booth_time_s <= plan.candidates[i + 1].booth_time_s + 60.0);
    }
    CHECK(plan.chosen->ramp_k_per_s == plan.candidates.front().ramp_k_per_s);
    example.coating.largest_heating_rate_k_per_s = 1.0 / 60.0;
    const Plan slow = plan_cycle(example.task(), options);
    REQUIRE(slow.feasible);
    CHECK(slow.verdict.zones.front().steepest_rate_k_per_s <= 1.0 / 60.0 + 1e-9);
    options.slowest_ramp_k_per_s = 4.0 / 60.0;
    CHECK_THROWS_AS((void)plan_cycle(example.task(), options), InputError);
}

TEST_CASE("the map keeps steps and second holds too") {
    const Example example;
    PlanOptions options = only_at(65.0);
    options.steps = {{celsius_to_kelvin(50.0), 900.0}};
    const MapRow row = feasible_map(example.task(), options, {}).rows.front();
    const Plan plan = plan_cycle(example.task(), options);
    REQUIRE(plan.feasible);
    REQUIRE(row.shortest_hold_s.has_value());
    CHECK(*plan.chosen->hold_s >= *row.shortest_hold_s - 5.0);
    CHECK(*plan.chosen->hold_s < *row.shortest_hold_s + 65.0);
}
