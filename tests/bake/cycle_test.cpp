// SPDX-License-Identifier: Apache-2.0
#include "bakewright/bake/cycle.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "example_records.hpp"

using namespace bakewright;
using namespace bakewright::bake;
using namespace bakewright::example;

TEST_CASE("stages resolve one after the other, a rate gives the length") {
    Cycle cycle;
    cycle.id = "c";
    Stage ramp;
    ramp.kind = StageKind::ramp;
    ramp.setpoint_k = celsius_to_kelvin(65.0);
    ramp.rate_k_per_s = 1.5 / 60.0;
    cycle.stages = {stage(StageKind::flash_off, std::nullopt, 10), ramp, stage(StageKind::hold, std::nullopt, 45)};
    const std::vector<ResolvedStage> stages = resolve(cycle, layered_booth());
    REQUIRE(stages.size() == 3);
    CHECK(std::abs(stages[1].begin_s - 600.0) <= 1e-9);
    CHECK(std::abs(stages[1].end_s - 2400.0) <= 1e-6);  // 45 K at 1.5 K/min is 30 min
    CHECK(std::abs(stages[2].end_k - celsius_to_kelvin(65.0)) <= 1e-12);
}

TEST_CASE("a ramp to where the set point already stands takes no time") {
    Cycle cycle;
    Stage ramp;
    ramp.kind = StageKind::ramp;
    ramp.setpoint_k = celsius_to_kelvin(20.0);
    ramp.rate_k_per_s = 0.02;
    cycle.stages = {ramp, stage(StageKind::hold, std::nullopt, 10)};
    CHECK(resolve(cycle, layered_booth()).size() == 1);
}

TEST_CASE("what a booth cannot do is refused with the stage that asks for it") {
    Booth booth = layered_booth();
    const auto first_key = [&](const Cycle& cycle) {
        const std::vector<Problem> found = problems_in(cycle, booth);
        return found.empty() ? std::string("none") : found.front().key;
    };
    Cycle cycle;
    SUBCASE("a set point over its highest") {
        cycle.stages = {stage(StageKind::ramp, 81.0, 60)};
        CHECK(first_key(cycle) == "stage[0].setpoint");
    }
    SUBCASE("a ramp over its largest") {
        cycle.stages = {stage(StageKind::ramp, 65.0, 14.9)};
        CHECK(first_key(cycle) == "stage[0].duration");
    }
    SUBCASE("cooling below ambient") {
        cycle.stages = {stage(StageKind::ramp, 60.0, 30), stage(StageKind::cool, 15.0, 30)};
        CHECK(first_key(cycle) == "stage[1].setpoint");
    }
    SUBCASE("both a duration and a rate") {
        cycle.stages = {stage(StageKind::ramp, 60.0, 30)};
        cycle.stages[0].rate_k_per_s = 0.02;
        CHECK(first_key(cycle) == "stage[0].rate");
    }
    SUBCASE("neither a duration nor a rate") {
        cycle.stages = {Stage{}};
        CHECK(first_key(cycle) == "stage[0].duration");
    }
    SUBCASE("no stage") { CHECK(first_key(cycle) == "stage"); }
    SUBCASE("a sound cycle") {
        cycle.stages = {stage(StageKind::ramp, 65.0, 15.0)};
        CHECK(first_key(cycle) == "none");
    }
}
