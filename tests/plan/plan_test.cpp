#include "bakewright/plan/plan.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "bakewright/base/units.hpp"
#include "bakewright/profile/read.hpp"
#include "plan/lumped_example.hpp"

using namespace bakewright;
using namespace bakewright::plan;

namespace {

/// When a lumped body behind a ramp of slope r from T0, then a hold at S, passes a temperature on the hold; and when it falls
/// back through it after the hold's end on a ramp down of slope q. Lumped body: T' = (T_air - T)/tau.
struct LumpedZone {
    double tau_s, start_k, setpoint_k, ramp_s, slope_k_per_s;
    [[nodiscard]] double at_ramp_end_k() const { return setpoint_k - slope_k_per_s * tau_s * (1.0 - std::exp(-ramp_s / tau_s)); }
    [[nodiscard]] double passes_after_ramp_s(double level_k) const {
        return tau_s * std::log((setpoint_k - at_ramp_end_k()) / (setpoint_k - level_k));
    }
};

}  // namespace

TEST_CASE("the planned hold is the closed form's on one lumped zone") {
    // Source: lumped body under a ramp and a hold (Incropera & DeWitt, 6th ed., section 5.3). tau = 7850*470*0.001/10 = 368.95 s;
    // air 20 to 65 degC at 2 K/min: 22.5, set as 23 whole minutes. The skin must stay at 60 degC for 30 min; it falls back
    // through 60 during the cool-down. Tolerance one minute: holds are whole minutes and rounded up.
    const Example example;
    const Plan plan = plan_cycle(example.task(), only_at(65.0));
    REQUIRE(plan.feasible);
    const double ramp_s = 23.0 * 60.0;
    const LumpedZone zone{368.95, celsius_to_kelvin(20.0), celsius_to_kelvin(65.0), ramp_s, 45.0 / ramp_s};
    const double arrives_s = zone.passes_after_ramp_s(celsius_to_kelvin(60.0));
    // On the ramp down of 3 K/min the skin, near 65 degC at its start, lags: solve T(t) = 60 by bisection on the closed form.
    const double fall_k_per_s = 45.0 / (15.0 * 60.0);
    double low = 0.0, high = 900.0;
    for (int i = 0; i < 60; ++i) {
        const double t = 0.5 * (low + high);
        const double value_k = zone.setpoint_k - fall_k_per_s * (t - zone.tau_s * (1.0 - std::exp(-t / zone.tau_s)));
        (value_k > celsius_to_kelvin(60.0) ? low : high) = t;
    }
    const double hold_s = arrives_s + 1800.0 - low;
    REQUIRE(plan.candidates.front().hold_s.has_value());
    CHECK(*plan.candidates.front().hold_s >= hold_s - 5.0);
    CHECK(*plan.candidates.front().hold_s <= hold_s + 65.0);
}

TEST_CASE("a minute less than the planned hold does not cure, and the plan predicted again keeps its promise") {
    const Example example;
    const Plan plan = plan_cycle(example.task(), only_at(65.0));
    REQUIRE(plan.feasible);
    const auto word = [&](const bake::Cycle& cycle) {
        return cure::judge_bake(bake::predict(example.shell, example.booth, cycle).traces, example.coating, {}).zones.front();
    };
    CHECK(word(plan.cycle).word == cure::Word::good);
    bake::Cycle shorter = plan.cycle;
    for (bake::Stage& stage : shorter.stages)
        if (stage.kind == bake::StageKind::hold) *stage.duration_s -= 60.0;
    CHECK(word(shorter).rows.front().missing_s > 0.0);
}

TEST_CASE("every candidate's hold falls as the set point rises") {
    const Example example;
    PlanOptions options;
    options.lowest_setpoint_k = celsius_to_kelvin(61.0);
    const Plan plan = plan_cycle(example.task(), options);
    double before_s = HUGE_VAL;
    for (const Candidate& candidate : plan.candidates) {
        REQUIRE(candidate.hold_s.has_value());
        CHECK(*candidate.hold_s <= before_s);
        before_s = *candidate.hold_s;
    }
    // The chosen one is the coolest within three hundredths of the shortest.
    REQUIRE(plan.best.has_value());
    for (std::size_t i = 0; i < *plan.best; ++i)
        CHECK(plan.candidates[i].booth_time_s > plan.candidates[*plan.best].booth_time_s);
}

TEST_CASE("an item that may never be as warm as the cure needs makes a conflict with both sides named") {
    Example example;
    bake::Item item;
    item.name = "battery";
    item.place = bake::Item::Place::zone;
    item.where = "skin";
    item.heat_capacity_j_per_k = 10.0;
    item.conductance_w_per_k = 5.0;
    example.shell.items = {item};
    cure::HeatSensitiveItem limits;
    limits.name = "battery";
    limits.limits = {{celsius_to_kelvin(50.0), 0.0, cure::ExposureScope::bake}};
    example.items = {limits};
    const Plan plan = plan_cycle(example.task());
    CHECK(!plan.feasible);
    REQUIRE(plan.coolest_that_cures.has_value());
    REQUIRE(plan.hottest_that_spares.has_value());
    CHECK(plan.candidates[*plan.coolest_that_cures].bad_items.front().item == "battery");
    CHECK(plan.candidates[*plan.hottest_that_spares].bad_zones.front().zone == "skin");
    CHECK(plan.candidates[*plan.coolest_that_cures].setpoint_k > plan.candidates[*plan.hottest_that_spares].setpoint_k);
}

TEST_CASE("a coating's largest heating rate slows the ramp") {
    Example example;
    example.coating.largest_heating_rate_k_per_s = 0.5 / 60.0;
    const Plan plan = plan_cycle(example.task(), only_at(65.0));
    REQUIRE(plan.feasible);
    CHECK(plan.verdict.zones.front().steepest_rate_k_per_s <= 0.5 / 60.0 + 1e-9);
}

TEST_CASE("the order of zones does not change the plan, and a stopped search says so") {
    const profile::Library library({std::string(BAKEWRIGHT_PROFILES)});
    const auto shell = profile::load_shell("library_van", library).record;
    const auto booth = profile::load_booth("stirred_insulated", library).record;
    const auto coating = profile::load_coating("clear_low_bake", library).record;
    const PlanOptions options = only_at(61.0);
    const Plan one = plan_cycle({shell.shell, booth, coating, shell.item_limits}, options);
    bake::Shell turned = shell.shell;
    std::reverse(turned.zones.begin(), turned.zones.end());
    const Plan two = plan_cycle({turned, booth, coating, shell.item_limits}, options);
    REQUIRE(one.feasible);
    REQUIRE(two.feasible);
    CHECK(one.candidates.front().hold_s == two.candidates.front().hold_s);
    CHECK(one.slowest_zone == two.slowest_zone);

    PlanOptions stopped;
    stopped.progress = [](double) { return false; };
    CHECK(!plan_cycle({shell.shell, booth, coating, shell.item_limits}, stopped).complete);
}

TEST_CASE("a shell without a coated zone and options out of range are refused") {
    Example example;
    PlanOptions options;
    options.longest_hold_s = 0.0;
    CHECK_THROWS_AS((void)plan_cycle(example.task(), options), InputError);
    example.shell.zones.front().coated = false;
    CHECK_THROWS_AS((void)plan_cycle(example.task()), InputError);
}
