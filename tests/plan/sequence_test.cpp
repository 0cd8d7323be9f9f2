// SPDX-License-Identifier: Apache-2.0
#include "bakewright/plan/sequence.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "plan/lumped_example.hpp"

using namespace bakewright;
using namespace bakewright::plan;

// All sheets and limits here are invented.

namespace {

PlanOptions few() {
    PlanOptions options;
    options.lowest_setpoint_k = celsius_to_kelvin(52.0);
    options.highest_setpoint_k = celsius_to_kelvin(66.0);
    options.setpoint_step_k = 2.0;
    return options;
}

/// A trim on the skin that may be at 57 degC and above for so many minutes in its life (the skin of a 60 degC bake is).
Example with_trim(double lifetime_min) {
    Example example;
    bake::Item body;
    body.name = "trim";
    body.place = bake::Item::Place::zone;
    body.where = "skin";
    body.heat_capacity_j_per_k = 1.0;
    body.conductance_w_per_k = 5.0;
    example.shell.items = {body};
    cure::HeatSensitiveItem limit;
    limit.name = "trim";
    limit.limits = {{celsius_to_kelvin(57.0), minutes_to_seconds(lifetime_min), cure::ExposureScope::lifetime}};
    example.items = {limit};
    return example;
}

/// Two rows: the quick bake at 60 uses the trim up, the slow one at 50 does not touch it.
cure::Coating two_rows() {
    cure::Coating coating = Example().coating;
    coating.schedule = {{celsius_to_kelvin(50.0), minutes_to_seconds(60.0), {}},
                        {celsius_to_kelvin(60.0), minutes_to_seconds(15.0), {}}};
    return coating;
}

}  // namespace

TEST_CASE("each bake of a sequence is planned over all before it, and what is left falls from bake to bake") {
    const Example example = with_trim(1000.0);
    const std::vector<SequenceCoat> coats{{"primer", example.coating}, {"colour", example.coating}, {"clear", example.coating}};
    const SequencePlan plan = plan_sequence(example.task(), few(), coats);
    REQUIRE(plan.feasible);
    CHECK_FALSE(plan.is_sparing);
    REQUIRE(plan.bakes.size() == 3);
    double before_s = 0.0;
    for (std::size_t i = 0; i < 3; ++i) {
        CHECK(plan.bakes[i].coat == coats[i].name);
        CHECK(plan.bakes[i].after.coats.size() == i + 1);
        CHECK(plan.bakes[i].after.worst() == cure::Word::good);
        const double exposed_s = plan.bakes[i].after.items.front().total.limits.front().exposed_s;
        // Alike bakes of alike coats: each adds the same.
        CHECK(exposed_s > before_s);
        if (i > 0) CHECK(std::abs(exposed_s - before_s * (static_cast<double>(i) + 1.0) / static_cast<double>(i)) <= 1.0);
        before_s = exposed_s;
    }
}

TEST_CASE("a sequence that would use an item up takes the cycles that use it least") {
    // The clear, half an hour at 60 degC, has the trim at 54 degC (57 less the 3 K of a CHECK) and above for some 40 min; quick
    // bakes of primer and colour at 60 take 20 and more each: more than 70 together. Slow ones at 52 take nothing.
    const Example example = with_trim(70.0);
    const std::vector<SequenceCoat> coats{{"primer", two_rows()}, {"colour", two_rows()}, {"clear", example.coating}};
    const SequencePlan plan = plan_sequence(example.task(), few(), coats);
    REQUIRE(plan.feasible);
    CHECK(plan.is_sparing);
    CHECK(plan.bakes.back().after.worst() == cure::Word::good);
    const SequencePlan alone = plan_sequence(example.task(), few(), {coats[0]});
    CHECK_FALSE(alone.is_sparing);
    CHECK(alone.bakes.front().plan.chosen->booth_time_s < plan.bakes.front().plan.chosen->booth_time_s);
    CHECK(plan.bakes.front().plan.chosen->largest_use < alone.bakes.front().plan.chosen->largest_use);
}

TEST_CASE("a sequence that cannot be ends with the bake that has no cycle, and says what stands against it") {
    const Example example = with_trim(70.0);  // a sheet of 60 degC alone: each bake uses more than half an hour
    const std::vector<SequenceCoat> coats{{"primer", example.coating}, {"colour", example.coating}, {"clear", example.coating}};
    const SequencePlan plan = plan_sequence(example.task(), few(), coats);
    CHECK_FALSE(plan.feasible);
    REQUIRE_FALSE(plan.bakes.empty());
    CHECK(plan.bakes.size() < 4);
    REQUIRE(plan.bakes.back().plan.coolest_that_cures.has_value());
    const Candidate& conflict = plan.bakes.back().plan.candidates[*plan.bakes.back().plan.coolest_that_cures];
    CHECK(conflict.bad_items.front().item == "trim");
}

TEST_CASE("names that come twice and an empty sequence are refused") {
    const Example example;
    CHECK_THROWS_AS((void)plan_sequence(example.task(), few(), {}), InputError);
    CHECK_THROWS_AS((void)plan_sequence(example.task(), few(), {{"clear", example.coating}, {"clear", example.coating}}),
                    InputError);
}
