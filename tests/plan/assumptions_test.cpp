// SPDX-License-Identifier: Apache-2.0
#include "bakewright/plan/assumptions.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "plan/lumped_example.hpp"

using namespace bakewright;
using namespace bakewright::plan;

namespace {

/// So little time that the sheet's hold is only just reached, or not.
PlanOptions hurried(double longest_hold_s) {
    PlanOptions options;
    options.lowest_setpoint_k = options.highest_setpoint_k.emplace(celsius_to_kelvin(66.0));
    options.longest_hold_s = longest_hold_s;
    options.confidence = Confidence{};
    return options;
}

const AssumptionEffect* of(const LikeliestCycle& cycle, Assumed assumed) {
    const auto found = std::ranges::find(cycle.assumptions, assumed, &AssumptionEffect::assumed);
    return found == cycle.assumptions.end() ? nullptr : &*found;
}

}  // namespace

TEST_CASE("where no hold is long enough the answer is a cycle with its chance and at most three assumptions") {
    const Example example;
    const PlanTask task = example.task();
    const PlanOptions options = hurried(10.0 * kSecondPerMinute);
    const Plan plan = plan_cycle(task, options);
    REQUIRE(!plan.feasible);
    const std::optional<LikeliestCycle> likeliest = likeliest_cycle(task, options, plan);
    REQUIRE(likeliest.has_value());
    CHECK(likeliest->setpoint_k == celsius_to_kelvin(66.0));
    CHECK(likeliest->hold_s == 10.0 * kSecondPerMinute);
    CHECK(likeliest->chance < 0.95);
    CHECK(likeliest->assumptions.size() <= kAssumptionsTold);
    CHECK(!likeliest->last_zone.empty());
}

TEST_CASE("of what is assumed, gentler air cures later and stronger air sooner, and it comes first for a thin free sheet") {
    Example example;
    example.booth.film_w_per_m2_k = Spread{5.0, 10.0, 15.0};
    const PlanTask task = example.task();
    PlanOptions options = hurried(4.0 * kSecondPerHour);
    Plan plan = plan_cycle(task, options);
    REQUIRE(plan.chosen.has_value());
    plan.feasible = false;  // asked as of a plan that is not sure enough
    const std::optional<LikeliestCycle> likeliest = likeliest_cycle(task, options, plan);
    REQUIRE(likeliest.has_value());
    const AssumptionEffect* const air = of(*likeliest, Assumed::air_strength);
    REQUIRE(air != nullptr);
    CHECK(*air->later_at_low_s > kLeastEffectS);
    CHECK(*air->later_at_high_s < 0.0);
    for (std::size_t i = 1; i < likeliest->assumptions.size(); ++i)  // strongest first, by minutes where nothing gets hotter
        CHECK(std::abs(*likeliest->assumptions[i].later_at_low_s) <= std::abs(*likeliest->assumptions[0].later_at_low_s) + 1e-9);
}

TEST_CASE("a plan that works, or one on best-guess values alone, has no likeliest cycle") {
    const Example example;
    const PlanTask task = example.task();
    PlanOptions options = hurried(4.0 * kSecondPerHour);
    CHECK(!likeliest_cycle(task, options, plan_cycle(task, options)).has_value());
    options.confidence.reset();
    options.longest_hold_s = 10.0 * kSecondPerMinute;
    CHECK(!likeliest_cycle(task, options, plan_cycle(task, options)).has_value());
}
