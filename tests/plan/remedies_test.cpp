// SPDX-License-Identifier: Apache-2.0
#include "bakewright/plan/remedies.hpp"

#include <doctest/doctest.h>

#include <algorithm>

#include "plan/demo_van.hpp"
#include "plan/lumped_example.hpp"

using namespace bakewright;
using namespace bakewright::plan;

// All shells and limits here are invented.

namespace {

/// A battery in a cavity behind the skin that may never see 50 degC.
Example with_battery() {
    Example example;
    bake::Cavity cavity;
    cavity.name = "inside";
    cavity.volume_m3 = 0.05;
    example.shell.cavities = {cavity};
    example.shell.zones.front().inner.view = bake::FaceView::cavity;
    example.shell.zones.front().inner.cavity = "inside";
    bake::Item battery;
    battery.name = "battery";
    battery.place = bake::Item::Place::cavity;
    battery.where = "inside";
    battery.heat_capacity_j_per_k = 2e3;
    battery.conductance_w_per_k = 2.0;
    example.shell.items = {battery};
    cure::HeatSensitiveItem limits;
    limits.name = "battery";
    limits.limits = {{celsius_to_kelvin(50.0), 0.0, cure::ExposureScope::bake}};
    example.items = {limits};
    return example;
}

const Remedy* find(const std::vector<Remedy>& all, RemedyKind kind) {
    const auto found = std::find_if(all.begin(), all.end(), [kind](const Remedy& remedy) { return remedy.kind == kind; });
    return found == all.end() ? nullptr : &*found;
}

PlanOptions few_setpoints() {
    PlanOptions options;
    options.lowest_setpoint_k = celsius_to_kelvin(58.0);
    options.highest_setpoint_k = celsius_to_kelvin(66.0);
    options.setpoint_step_k = 2.0;
    return options;
}

}  // namespace

TEST_CASE("taking out the item that is in the way gives the plan of the shell without it") {
    Example example = with_battery();
    const Plan plan = plan_cycle(example.task(), few_setpoints());
    REQUIRE_FALSE(plan.feasible);
    const std::vector<Remedy> all = remedies(example.task(), few_setpoints(), plan);
    const Remedy* out = find(all, RemedyKind::take_out);
    REQUIRE(out != nullptr);
    CHECK(out->subject == "battery");
    REQUIRE(out->feasible);
    example.shell.items.clear();
    example.items.clear();
    const Plan without = plan_cycle(example.task(), few_setpoints());
    REQUIRE(without.feasible);
    CHECK(out->setpoint_k == without.candidates[*without.best].setpoint_k);
    CHECK(out->hold_s == *without.candidates[*without.best].hold_s);
}

TEST_CASE("what helps stands first, the quickest before the rest") {
    const Example example = with_battery();
    const std::vector<Remedy> all = remedies(example.task(), few_setpoints(), plan_cycle(example.task(), few_setpoints()));
    REQUIRE(all.size() >= 4);
    for (std::size_t i = 0; i + 1 < all.size(); ++i) {
        CHECK(all[i].feasible >= all[i + 1].feasible);
        if (all[i].feasible && all[i + 1].feasible) CHECK(all[i].booth_time_s <= all[i + 1].booth_time_s);
    }
    CHECK(all.front().feasible);
}

TEST_CASE("changes that do not apply are not offered") {
    // The air is mixed already, the item is fixed to its zone, the coating has no activation energy of its own.
    Example example = with_battery();
    example.shell.items.front().place = bake::Item::Place::zone;
    example.shell.items.front().where = "skin";
    const std::vector<Remedy> all = remedies(example.task(), few_setpoints(), plan_cycle(example.task(), few_setpoints()));
    CHECK(find(all, RemedyKind::stir_air) == nullptr);
    CHECK(find(all, RemedyKind::take_out) == nullptr);
    CHECK(find(all, RemedyKind::shield_item) == nullptr);
    REQUIRE(find(all, RemedyKind::baffle_zone) != nullptr);
    CHECK(find(all, RemedyKind::baffle_zone)->subject == "skin");
}

TEST_CASE("stirred air lets the demo van's usual clear be baked, by the model") {
    const test::Van van("library_van", "clear_two_component");
    const PlanTask task = van.task();
    PlanOptions options;
    options.lowest_setpoint_k = celsius_to_kelvin(62.0);
    options.highest_setpoint_k = celsius_to_kelvin(68.0);
    const Plan plan = plan_cycle(task, options);
    REQUIRE_FALSE(plan.feasible);
    const std::vector<Remedy> all = remedies(task, options, plan);
    REQUIRE(find(all, RemedyKind::stir_air) != nullptr);
    CHECK(find(all, RemedyKind::stir_air)->feasible);
}

TEST_CASE("a heavy zone that lags can be baked apart, in two bakes that each have a plan of their own") {
    // Beside the battery's skin a thick plate that no cycle cures before the battery is too hot.
    Example example = with_battery();
    bake::Zone heavy = example.shell.zones.front();
    heavy.name = "plate";
    heavy.inner = {};
    heavy.layers.front().thickness_m = 20e-3;
    example.shell.zones.push_back(heavy);
    example.items.front().limits.front().temperature_k = celsius_to_kelvin(60.0);
    PlanOptions options = few_setpoints();
    options.longest_hold_s = 3.0 * kSecondPerHour;
    const Plan plan = plan_cycle(example.task(), options);
    if (plan.feasible) MESSAGE("the plate is cured in time");
    REQUIRE_FALSE(plan.feasible);
    const std::vector<Remedy> all = remedies(example.task(), options, plan);
    const Remedy* apart = find(all, RemedyKind::bake_apart);
    REQUIRE(apart != nullptr);
    CHECK(apart->subject == "plate");
    CHECK(find(all, RemedyKind::mask_zone) == nullptr);
    Example rest = with_battery();
    rest.items.front().limits.front().temperature_k = celsius_to_kelvin(60.0);
    CHECK(apart->feasible == plan_cycle(rest.task(), options).feasible);
}

// All shells and limits here are invented but the demo's, which is invented too.

namespace {

/// A shell with loose things in a cavity: name and the temperature they may never see.
Example with_things(const std::vector<std::pair<std::string, double>>& limit_c) {
    Example example;
    bake::Cavity cavity;
    cavity.name = "inside";
    cavity.volume_m3 = 0.05;
    example.shell.cavities = {cavity};
    example.shell.zones.front().inner.view = bake::FaceView::cavity;
    example.shell.zones.front().inner.cavity = "inside";
    for (const auto& [name, never_c] : limit_c) {
        bake::Item thing;
        thing.name = name;
        thing.place = bake::Item::Place::cavity;
        thing.where = "inside";
        thing.heat_capacity_j_per_k = 500.0;
        thing.conductance_w_per_k = 2.0;
        example.shell.items.push_back(thing);
        cure::HeatSensitiveItem limits;
        limits.name = name;
        limits.limits = {{celsius_to_kelvin(never_c), 0.0, cure::ExposureScope::bake}};
        example.items.push_back(limits);
    }
    return example;
}

PlanOptions around_66() {
    PlanOptions options;
    options.lowest_setpoint_k = celsius_to_kelvin(63.0);
    options.highest_setpoint_k = celsius_to_kelvin(66.0);
    return options;
}

}  // namespace

TEST_CASE("what stands against every cycle comes out, what does not stays, and what is kept stays whatever") {
    const Example example = with_things({{"battery", 50.0}, {"shelf", 95.0}, {"screen", 55.0}});
    const PlanWithout found = plan_keeping(example.task(), around_66(), {"shelf"});
    REQUIRE(found.plan.feasible);
    CHECK(found.out == std::vector<std::string>{"battery", "screen"});
    CHECK(found.items.size() == 1);
    CHECK(found.shell.items.front().name == "shelf");
    const PlanWithout kept = plan_keeping(example.task(), around_66(), {"battery"});
    CHECK_FALSE(kept.plan.feasible);
    CHECK(kept.out == std::vector<std::string>{"screen"});
}

TEST_CASE("nothing comes out where everything may stay, and an unknown name is refused with the nearest") {
    const Example example = with_things({{"shelf", 95.0}});
    CHECK(plan_keeping(example.task(), around_66(), {"shelf"}).out.empty());
    CHECK_THROWS_WITH_AS((void)plan_keeping(example.task(), around_66(), {"shelv"}), doctest::Contains("Did you mean 'shelf'?"),
                         InputError);
}

TEST_CASE("each item that is out could not stay with the others as they are") {
    const Example example = with_things({{"battery", 50.0}, {"screen", 55.0}});
    const PlanWithout found = plan_keeping(example.task(), around_66(), {});
    REQUIRE(found.plan.feasible);
    for (const std::string& name : found.out) {
        Example back = example;
        std::erase_if(back.shell.items, [&](const auto& item) { return item.name != name; });
        std::erase_if(back.items, [&](const auto& item) { return item.name != name; });
        CHECK_FALSE(plan_cycle(back.task(), around_66()).feasible);
    }
}

TEST_CASE("the late repair with the interior in is a dilemma with a way out: what must come out of the fitted van is named") {
    const test::Van van("library_van_fitted", "clear_low_bake");
    const PlanTask task = van.task();
    PlanOptions options;
    options.lowest_setpoint_k = celsius_to_kelvin(56.0);
    options.highest_setpoint_k = celsius_to_kelvin(62.0);
    const PlanWithout found = plan_keeping(task, options, {"return_desk_screen"});
    REQUIRE(found.plan.feasible);
    for (const cure::ItemVerdict& item : found.plan.verdict.items) CHECK(item.word == cure::Word::good);
    CHECK_FALSE(std::any_of(found.out.begin(), found.out.end(), [](const auto& name) { return name == "return_desk_screen"; }));
}
