// SPDX-License-Identifier: Apache-2.0
#include "bakewright/tune/phases.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <utility>

#include "bakewright/base/units.hpp"
#include "bakewright/thermal/ensemble.hpp"

using namespace bakewright;
using bake::StageKind;

namespace {

constexpr double kMinute = 60.0;

/// Air through corners [min], [degC], logged every ten seconds with noise of 0.2 K.
Trace air_through(const std::vector<std::pair<double, double>>& corners) {
    Trace air{"booth air", TraceRole::booth_air, {}, {}, {}};
    std::vector<double> noise(static_cast<std::size_t>(corners.back().first * 6.0) + 1);
    thermal::draw_normals(3, 0, noise);
    std::size_t leg = 0;
    for (std::size_t i = 0; i < noise.size(); ++i) {
        const double minute = static_cast<double>(i) / 6.0;
        while (leg + 2 < corners.size() && corners[leg + 1].first < minute) ++leg;
        const auto& [from, from_c] = corners[leg];
        const auto& [to, to_c] = corners[leg + 1];
        air.time_s.push_back(minute * kMinute);
        air.temperature_k.push_back(celsius_to_kelvin(from_c + (to_c - from_c) * (minute - from) / (to - from)) + 0.2 * noise[i]);
    }
    return air;
}

/// 10 min flash-off, 5 min purge, 20 to 60 degC in 20 min, 40 min hold, cooling; with a second hold at 70 degC where asked.
std::vector<bake::ResolvedStage> stages_of(bool with_step) {
    std::vector<bake::ResolvedStage> stages;
    const auto add = [&](StageKind kind, double minutes, double to_c) {
        const double from_s = stages.empty() ? 0.0 : stages.back().end_s;
        const double from_k = stages.empty() ? celsius_to_kelvin(20.0) : stages.back().end_k;
        stages.push_back({kind, from_s, from_s + minutes * kMinute, from_k, celsius_to_kelvin(to_c), stages.size(), 0.0});
    };
    add(StageKind::flash_off, 10.0, 20.0);
    add(StageKind::purge, 5.0, 20.0);
    add(StageKind::ramp, 20.0, 60.0);
    add(StageKind::hold, 40.0, 60.0);
    if (with_step) add(StageKind::ramp, 10.0, 70.0);
    if (with_step) add(StageKind::hold, 20.0, 70.0);
    add(StageKind::cool, 30.0, 25.0);
    return stages;
}

void check_spans(const std::vector<tune::PhaseSpan>& found, const std::vector<std::pair<StageKind, double>>& expected,
                 double within_min) {
    REQUIRE(found.size() == expected.size());
    for (std::size_t i = 0; i < found.size(); ++i) {
        CAPTURE(i);
        CHECK(found[i].kind == expected[i].first);
        CHECK(std::abs(found[i].from_s / kMinute - expected[i].second) <= within_min);
        if (i > 0) CHECK(found[i].from_s == found[i - 1].until_s);
    }
}

}  // namespace

TEST_CASE("the phases of a bake that follows its cycle are found within three minutes") {
    // The air is looked at over three minutes: no change is told sooner, and none need be later.
    const Trace air = air_through({{0, 20}, {15, 20}, {35, 60}, {75, 60}, {105, 25}});
    const auto found = tune::recognise_phases(air, 15.0 * kMinute, stages_of(false));
    check_spans(
        found,
        {{StageKind::flash_off, 0}, {StageKind::purge, 10}, {StageKind::ramp, 15}, {StageKind::hold, 35}, {StageKind::cool, 75}},
        3.0);
    CHECK(found.back().until_s == doctest::Approx(105.0 * kMinute));
    for (const tune::PhaseSpan& span : found) CHECK(span.stage.has_value());
}

TEST_CASE("without a cycle the air alone tells ramp, hold and cooling") {
    const Trace air = air_through({{0, 20}, {15, 20}, {35, 60}, {75, 60}, {105, 25}});
    const auto found = tune::recognise_phases(air, 15.0 * kMinute, {});
    check_spans(found, {{StageKind::flash_off, 0}, {StageKind::ramp, 15}, {StageKind::hold, 35}, {StageKind::cool, 75}}, 3.0);
}

TEST_CASE("a second hold is told from the first") {
    const Trace air = air_through({{0, 20}, {15, 20}, {35, 60}, {75, 60}, {85, 70}, {100, 70}});
    const auto found = tune::recognise_phases(air, 15.0 * kMinute, stages_of(true));
    check_spans(found,
                {{StageKind::flash_off, 0},
                 {StageKind::purge, 10},
                 {StageKind::ramp, 15},
                 {StageKind::hold, 35},
                 {StageKind::ramp, 75},
                 {StageKind::hold, 85}},
                3.0);
    CHECK(found[4].stage == 4);
    CHECK(found[5].stage == 5);
}

TEST_CASE("a burner that stops under what is set leaves the bake in its ramp; a door opened for two minutes ends no hold") {
    const Trace stuck = air_through({{0, 20}, {15, 20}, {25, 40}, {45, 40}});
    CHECK(tune::recognise_phases(stuck, 15.0 * kMinute, stages_of(false)).back().kind == StageKind::ramp);
    const Trace door = air_through({{0, 20}, {15, 20}, {35, 60}, {50, 60}, {50.5, 57.8}, {52, 60}, {60, 60}});
    CHECK(tune::recognise_phases(door, 15.0 * kMinute, stages_of(false)).back().kind == StageKind::hold);
}

TEST_CASE("heat that comes late: flash-off and purge are counted back from it, and before it nothing is called a ramp") {
    const Trace waits = air_through({{0, 20}, {22, 20}});
    const auto before = tune::recognise_phases(waits, {}, stages_of(false));
    CHECK(before.back().kind == StageKind::purge);
    const Trace late = air_through({{0, 20}, {25, 20}, {45, 60}, {50, 60}});
    check_spans(tune::recognise_phases(late, 25.0 * kMinute, stages_of(false)),
                {{StageKind::flash_off, 0}, {StageKind::purge, 20}, {StageKind::ramp, 25}, {StageKind::hold, 45}}, 3.0);
}

TEST_CASE("heat that came back after it was lost is a ramp to the same set point again") {
    const Trace air = air_through({{0, 20}, {15, 20}, {35, 60}, {45, 60}, {60, 40}, {72, 58}});
    const auto found = tune::recognise_phases(air, 15.0 * kMinute, stages_of(false));
    REQUIRE(found.size() == 6);
    CHECK(found[4].kind == StageKind::cool);
    CHECK(found[5].kind == StageKind::ramp);
    CHECK(found[5].stage == found[2].stage);
}

TEST_CASE("an air of fewer than two readings has no phase") {
    CHECK(tune::recognise_phases(Trace{"air", TraceRole::booth_air, {0.0}, {300.0}, {}}, {}, {}).empty());
}
