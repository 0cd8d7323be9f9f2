// SPDX-License-Identifier: Apache-2.0
// How sure a plan is: the chances of a set point, read from an ensemble for every hold.

#include "bakewright/plan/chances.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <random>

#include "bakewright/cure/judge.hpp"
#include "bakewright/plan/feasible_map.hpp"
#include "bakewright/plan/plan.hpp"
#include "plan/demo_van.hpp"
#include "plan/lumped_example.hpp"

using namespace bakewright;
using namespace bakewright::plan;
using bakewright::plan::test::Van;

// All shells and limits here are invented.

namespace {

constexpr double kNever = std::numeric_limits<double>::infinity();

PlanOptions sure_between(double lowest_c, double highest_c, double level = 0.95) {
    PlanOptions options;
    options.lowest_setpoint_k = celsius_to_kelvin(lowest_c);
    options.highest_setpoint_k = celsius_to_kelvin(highest_c);
    options.confidence = Confidence{.level = level};
    return options;
}

/// 100 members that need 1 to 100 min, of which the last ten allow only 95 min.
HoldChances counted() {
    HoldChances made;
    made.zones = {"sill", "roof"};
    made.subjects = {"seat"};
    made.zone_cured_from_s.resize(2);
    for (int i = 1; i <= 100; ++i) {
        const double need_s = 60.0 * i;
        made.members.push_back({need_s, i > 90 ? 95.0 * 60.0 : kNever, 0, 0});
        made.zone_cured_from_s[0].push_back(need_s);
        made.zone_cured_from_s[1].push_back(60.0 * ((i * 37) % 100));  // goes through all values, in no order
    }
    return made;
}

}  // namespace

TEST_CASE("chances of a hold are counted members, with one more for each word") {
    const HoldChances chances = counted();
    CHECK(std::abs(chances.cured(60.0 * 50.0) - 51.0 / 103.0) <= 1e-12);
    CHECK(std::abs(chances.spared(60.0 * 96.0) - 91.0 / 103.0) <= 1e-12);
    CHECK(std::abs(chances.good(60.0 * 95.0) - 96.0 / 103.0) <= 1e-12);
    CHECK(std::abs(chances.good(60.0 * 100.0) - 91.0 / 103.0) <= 1e-12);
    CHECK(*chances.shortest_s(0.9, 0.0, 1e4) == 60.0 * 92.0);  // (92 + 1) / 103 = 0.903
    CHECK(!chances.shortest_s(0.95, 0.0, 1e4));
    CHECK(chances.surest_s(0.0, 1e4) == 60.0 * 95.0);
    CHECK(chances.likeliest_obstacle(60.0 * 20.0)->text() == "sill");
    CHECK(chances.likeliest_obstacle(60.0 * 100.0)->text() == "seat");
}

TEST_CASE("a cell of the map has the chance of just that bake, to the last digit") {
    const Van van;
    PlanOptions options = sure_between(60.0, 62.0);
    const FeasibleMap map = feasible_map(van.task(), options, {});
    std::size_t asked = 0;
    for (const MapRow& row : map.rows)
        for (std::size_t i = 0; i < map.hold_s.size(); i += 3) {
            if (!row.chances[i]) continue;
            ++asked;
            CAPTURE(row.setpoint_k);
            CAPTURE(map.hold_s[i]);
            const TriedCycle tried = try_cycle(van.task(), options, row.setpoint_k, map.hold_s[i]);
            const EnsemblePrediction ensemble = predict_ensemble(van.shell.shell, van.booth, tried.cycle, van.coating,
                                                                 van.shell.item_limits, {.predict = options.predict});
            CHECK(*row.chances[i] == ensemble.chance);
            CHECK(*tried.verdict.chance == ensemble.chance);
            CHECK((row.at(i, map.hold_s[i]) == MapRow::Cell::feasible) == (ensemble.chance >= 0.95));
        }
    CHECK(asked > 3);
}

TEST_CASE("a plan's hold is the shortest sure one, and the map's bounds are sure and the next minutes are not") {
    const Van van;
    const PlanOptions options = sure_between(60.0, 61.0);
    const auto chance = [&](double setpoint_k, double hold_s) {
        return *try_cycle(van.task(), options, setpoint_k, hold_s).verdict.chance;
    };
    for (const MapRow& row : feasible_map(van.task(), options, {}).rows) {
        CAPTURE(row.setpoint_k);
        REQUIRE(row.shortest_sure_s);
        CHECK(chance(row.setpoint_k, *row.shortest_sure_s) >= 0.95);
        CHECK(chance(row.setpoint_k, *row.shortest_sure_s - 60.0) < 0.95);
        CHECK(chance(row.setpoint_k, *row.longest_sure_s) >= 0.95);
    }
}

TEST_CASE("a plan that is to be sure holds longer than the middle of the model asks, and is as sure as it says") {
    const Van van;
    PlanOptions options = sure_between(60.0, 60.0);
    const Plan sure = plan_cycle(van.task(), options);
    REQUIRE(sure.feasible);
    REQUIRE(sure.chance);
    CHECK(*sure.chance >= 0.95);
    REQUIRE(sure.probe_places);
    // The very places that the function names for this cycle.
    const ProbePlaces asked =
        probe_places({van.shell.shell, van.booth, sure.cycle, &van.coating, van.shell.item_limits}, {.predict = options.predict});
    REQUIRE(asked.places.size() == sure.probe_places->places.size());
    for (std::size_t i = 0; i < asked.places.size(); ++i) CHECK(asked.places[i].zone == sure.probe_places->places[i].zone);
    options.confidence->level = 0.98;
    const Plan surer = plan_cycle(van.task(), options);
    options.confidence.reset();
    const Plan middle = plan_cycle(van.task(), options);
    CHECK(!middle.chance);
    CHECK(*middle.chosen->hold_s < *sure.chosen->hold_s);
    CHECK(*sure.chosen->hold_s <= *surer.chosen->hold_s);
    const EnsemblePrediction ensemble =
        predict_ensemble(van.shell.shell, van.booth, sure.cycle, van.coating, van.shell.item_limits, {});
    CHECK(ensemble.chance == *sure.chance);
}

TEST_CASE("where no hold is sure enough the plan says how sure the best is, and the map marks it") {
    // With a limit for the front cap that half of the members pass, nothing can be 95 % sure.
    Van van;
    const Plan free = plan_cycle(van.task(), sure_between(60.0, 60.0, 0.5));
    REQUIRE(free.feasible);
    PlanOptions options = sure_between(60.0, 60.0);
    options.confidence->uncertainty.air_k = 25.0;  // nobody knows the booth's air
    const Plan plan = plan_cycle(van.task(), options);
    CHECK(!plan.feasible);
    REQUIRE(plan.surest);
    REQUIRE(plan.chance);
    CHECK(*plan.chance < 0.95);
    CHECK(plan.candidates[*plan.surest].unsure);
    CHECK(plan.likeliest_obstacle);
    const FeasibleMap map = feasible_map(van.task(), options, {});
    const MapRow& row = map.rows[0];
    std::size_t unsure = 0;
    for (std::size_t i = 0; i < map.hold_s.size(); ++i) unsure += row.at(i, map.hold_s[i]) == MapRow::Cell::unsure ? 1 : 0;
    CHECK(unsure > 0);
    CHECK(!row.shortest_sure_s);
}

TEST_CASE("the sheet's largest heating rate enters the chances as the closed form of a doubtful air profile says") {
    // The ramp is lowered until the air at the skin rises no faster than the sheet allows: by the middle of the model. The skin's
    // rate goes with 1 + c f, where c is the air's offset there over the reference rise and f the member's factor, lognormal.
    Example example;
    example.booth.vertical_profile = {{1.0, 20.0}};
    example.coating.absolute_maximum_k = celsius_to_kelvin(120.0);
    PlanOptions options = sure_between(66.0, 66.0, 0.5);
    Uncertainty only;
    only.thickness = only.emissivity = only.air_k = only.start_k = only.contact = 0.0;
    options.confidence = Confidence{.level = 0.5, .member_count = 1000, .uncertainty = only};
    const double c = 20.0 / example.booth.rise_of_full_offset_k(), sigma = std::log1p(only.vertical_profile) / 1.6448536;
    for (const double limit_k_per_min : {1.0, 2.0, 2.5}) {
        CAPTURE(limit_k_per_min);
        example.coating.largest_heating_rate_k_per_s = limit_k_per_min / 60.0;
        PlanOptions middle = options;
        middle.confidence.reset();
        const Plan plan = plan_cycle(example.task(), middle);
        EnsemblePredictOptions asked;
        asked.member_count = 1000;
        asked.uncertainty = only;
        const EnsemblePrediction ensemble =
            predict_ensemble(example.shell, example.booth, plan.cycle, example.coating, {}, asked);
        const double rate_k_per_s =
            cure::rise_before_schedule(*plan.prediction.traces.find("skin"), example.coating)->rate_k_per_s;
        const double largest_factor = ((1.0 + c) * *example.coating.largest_heating_rate_k_per_s / rate_k_per_s - 1.0) / c;
        const double expected = 0.5 * std::erfc(-std::log(largest_factor) / sigma / std::sqrt(2.0));
        // Tolerance: three standard errors of a share among 1000.
        CHECK(std::abs(ensemble.nothing_passed.share - expected) <= 0.05);
        CHECK(expected < 0.98);
    }
}

TEST_CASE("chances do not depend on the number of threads") {
    const Van van;
    PlanOptions options = sure_between(58.0, 63.0);
    options.thread_count = 1;
    const Plan one = plan_cycle(van.task(), options);
    options.thread_count = 3;
    const Plan three = plan_cycle(van.task(), options);
    REQUIRE(one.candidates.size() == three.candidates.size());
    for (std::size_t i = 0; i < one.candidates.size(); ++i) CHECK(one.candidates[i].chance == three.candidates[i].chance);
}

TEST_CASE("confidence out of range is refused by name") {
    const Van van;
    CHECK_THROWS_WITH_AS((void)plan_cycle(van.task(), sure_between(60.0, 60.0, 1.2)), doctest::Contains("confidence"),
                         InputError);
    PlanOptions options = sure_between(60.0, 60.0, 0.98);
    options.confidence->member_count = 50;
    CHECK_THROWS_WITH_AS((void)plan_cycle(van.task(), options), doctest::Contains("members"), InputError);
}
