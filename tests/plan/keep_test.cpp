#include "bakewright/plan/keep.hpp"

#include <doctest/doctest.h>

#include <algorithm>

#include "plan/demo_van.hpp"
#include "plan/lumped_example.hpp"

using namespace bakewright;
using namespace bakewright::plan;

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
