// SPDX-License-Identifier: Apache-2.0
#include "bakewright/plan/test_panel.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "bakewright/profile/read.hpp"
#include "plan/lumped_example.hpp"

using namespace bakewright;
using namespace bakewright::plan;

// Doses and sheets here are invented.

namespace {

cure::BakeVerdict three_zones() {
    cure::BakeVerdict verdict;
    for (const auto& [name, dose] : {std::pair("rocker", 0.8), std::pair("side", 1.2), std::pair("roof", 1.6)}) {
        cure::ZoneVerdict zone;
        zone.zone = name;
        zone.word = cure::Word::good;
        zone.dose = {dose - 0.1, dose, dose + 0.1};
        verdict.zones.push_back(zone);
    }
    verdict.zones.push_back(verdict.zones.back());
    verdict.zones.back().role = TraceRole::test_panel;
    verdict.zones.back().dose = {5.0, 5.0, 5.0};
    return verdict;
}

Example panel() {
    Example example;
    example.shell.zones.front().role = bake::ZoneRole::test_panel;
    example.coating.activation_energy = cure::ActivationEnergy{50e3, 55e3, 60e3};
    return example;
}

PlanOptions up_to(double highest_c) {
    PlanOptions options;
    options.highest_setpoint_k = celsius_to_kelvin(highest_c);
    return options;
}

}  // namespace

TEST_CASE("the panel stands for the worst zone, the best or the mean of the shell's, never for itself") {
    CHECK(dose_for_panel(three_zones(), PanelFor::worst).zone == "rocker");
    CHECK(dose_for_panel(three_zones(), PanelFor::best).zone == "roof");
    CHECK(std::abs(dose_for_panel(three_zones(), PanelFor::mean).dose.at_value - 1.2) <= 1e-12);
    CHECK(dose_for_panel(three_zones(), PanelFor::mean).zone.empty());
    CHECK_THROWS_AS((void)dose_for_panel({}, PanelFor::worst), InputError);
}

TEST_CASE("the panel's cycle gives it the dose that was asked for, at the hottest set point that can") {
    // Tolerance 2e-3 of the dose: holds are whole seconds of some thousand, the search samples every 30 s, the prediction 10 s.
    const Example example = panel();
    for (const double target : {0.6, 1.0, 2.5}) {
        const PanelPlan plan = plan_test_panel(example.task(), up_to(62.0), target);
        REQUIRE(plan.found);
        CHECK(plan.setpoint_k == celsius_to_kelvin(62.0));
        CHECK(std::abs(plan.dose.at_value / target - 1.0) <= 2e-3);
    }
}

TEST_CASE("a hold at the sheet's temperature that is long against the ramps takes the sheet's minutes for each dose of 1") {
    // One lumped skin in steady air at 60 degC, where the rate is 1 dose in 30 min: from dose 3 to dose 4 it takes 30 min more,
    // less what the skin still lacks of 60 degC (tau 369 s: nothing after an hour). Tolerance 2 s.
    const Example example = panel();
    const PanelPlan three = plan_test_panel(example.task(), up_to(60.0), 3.0),
                    four = plan_test_panel(example.task(), up_to(60.0), 4.0);
    REQUIRE(three.found);
    REQUIRE(four.found);
    CHECK(std::abs(four.hold_s - three.hold_s - 1800.0) <= 2.0);
}

TEST_CASE("a dose so small that the shortest hold passes it lowers the set point, and a shell is refused") {
    const Example example = panel();
    const PanelPlan plan = plan_test_panel(example.task(), up_to(70.0), 0.05);
    REQUIRE(plan.found);
    CHECK(plan.setpoint_k < celsius_to_kelvin(70.0));
    CHECK(std::abs(plan.dose.at_value / 0.05 - 1.0) <= 2e-2);
    PlanOptions hot = up_to(70.0);
    hot.lowest_setpoint_k = celsius_to_kelvin(70.0);
    CHECK_FALSE(plan_test_panel(example.task(), hot, 0.05).found);

    const profile::Library library({std::string(BAKEWRIGHT_PROFILES)});
    const auto shell = profile::load_shell("library_van", library).record;
    const PlanTask task{shell.shell, example.booth, example.coating, shell.item_limits};
    CHECK_THROWS_AS((void)plan_test_panel(task, up_to(62.0), 1.0), InputError);
}
