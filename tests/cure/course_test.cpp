// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/course.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "bakewright/cure/judge.hpp"
#include "traces.hpp"

using namespace bakewright;
using namespace bakewright::cure;
using namespace bakewright::cure::test;

namespace {

/// The trace as it was known at a moment.
Trace until(const Trace& trace, double time_s) {
    Trace part{.name = trace.name, .role = trace.role, .time_s = {}, .temperature_k = {}, .quality = {}};
    for (std::size_t i = 0; i < trace.size() && trace.time_s[i] < time_s; ++i) {
        part.time_s.push_back(trace.time_s[i]);
        part.temperature_k.push_back(trace.temperature_k[i]);
    }
    part.time_s.push_back(time_s);
    part.temperature_k.push_back(temperature_at_k(trace, time_s));
    return part;
}

Word word_at(const ZoneCourse& course, double time_s) {
    for (const WordSpan& span : course.spans)
        if (time_s >= span.from_s && time_s < span.until_s) return span.word;
    return Word::not_judged;
}

bool near_a_change(const ZoneCourse& course, double time_s) {
    for (const WordSpan& span : course.spans)
        if (std::abs(span.from_s - time_s) < 0.01) return true;
    return false;
}

/// Judges what was known at many moments and compares; returns how many words were seen.
std::size_t follow(const Trace& trace, const Coating& coating) {
    const ZoneCourse course = zone_course(trace, coating);
    for (double time_s = trace.time_s.front() + 7.0; time_s < trace.time_s.back(); time_s += 37.0) {
        if (near_a_change(course, time_s)) continue;
        CAPTURE(time_s);
        CHECK(word_at(course, time_s) == judge_zone(until(trace, time_s), coating).word);
    }
    CHECK(course.word == judge_zone(trace, coating).word);
    REQUIRE(!course.spans.empty());
    CHECK(course.spans.back().word == course.word);
    CHECK(course.spans.front().from_s == trace.time_s.front());
    CHECK(course.spans.back().until_s == trace.time_s.back());
    return course.spans.size();
}

HeatSensitiveItem item_with(std::vector<ExposureLimit> limits) {
    return {.name = "seat", .title = {}, .limits = std::move(limits), .sources = {}};
}

}  // namespace

TEST_CASE("at every moment the course of a zone says what judging the bake up to there says") {
    // No source needed: the two ways to the same answer are compared. 0.01 s around each change is left out: moments are solved
    // to 1e-6 s, and a prefix ends in a rounded sample.
    const Trace slow = trace_of({{0, 20}, {10, 60}, {55, 61}, {75, 30}});
    CHECK(follow(slow, one_row_clear()) == 3);  // UNDER, CHECK while only the dose is there, GOOD
    Coating capped = two_row_clear();
    capped.absolute_maximum_k = c(88.0);
    CHECK(follow(trace_of({{0, 20}, {20, 70}, {60, 84}, {150, 92}, {200, 20}}), capped) >= 3);
    CHECK(follow(trace_of({{0, 20}, {20, 55}, {40, 20}}), one_row_clear()) == 1);  // never more than UNDER
    CHECK(follow(trace_of({{0, 20}, {5, 62}, {15, 62}, {16, 50}, {17, 62}, {200, 66}}), two_row_clear()) >= 2);
}

TEST_CASE("a row is met when its time is up, and a maximum is passed when the zone passes it") {
    // By hand: at 60 degC from minute 10, so the 30 min of the row are up at minute 40; 80 degC is passed in the middle of the
    // line from 60 degC at minute 50 to 100 degC at minute 60. Tolerance: crossings are solved to 1e-6 s.
    Coating coating = one_row_clear();
    coating.absolute_maximum_k = c(80.0);
    const ZoneCourse course = zone_course(trace_of({{0, 20}, {10, 60}, {50, 60}, {60, 100}}), coating);
    REQUIRE(course.cured_from_s.has_value());
    CHECK(std::abs(*course.cured_from_s - min(40.0)) < 1e-5);
    REQUIRE(course.past_maximum_from_s.has_value());
    CHECK(std::abs(*course.past_maximum_from_s - min(55.0)) < 1e-3);
    CHECK(course.spans.back().word == Word::over);
}

TEST_CASE("a log that stops while warm leaves CHECK from there on, as its verdict does") {
    Trace trace = trace_of({{0, 20}, {10, 61}, {20, 61}, {21, kMissing}, {90, kMissing}});
    const ZoneCourse course = zone_course(trace, one_row_clear());
    REQUIRE(course.spans.size() == 2);
    CHECK(course.word == Word::check);
    CHECK(course.spans[0].word == Word::under);
    CHECK(course.spans[1].word == Word::check);
    CHECK(course.spans[1].from_s == min(20.0));
}

TEST_CASE("zones come last to cure first, those that never cured before them, those without a trace at the end") {
    TraceSet set;
    set.traces = {trace_of({{0, 20}, {5, 62}, {80, 62}}, "fast"), trace_of({{0, 20}, {30, 62}, {80, 62}}, "slow"),
                  trace_of({{0, 20}, {80, 50}}, "never")};
    const BakeCourse course = bake_course(set, one_row_clear(), {}, {"fast", "slow", "never", "not there"});
    REQUIRE(course.zones.size() == 4);
    CHECK(course.zones[0].zone == "never");
    CHECK(course.zones[1].zone == "slow");
    CHECK(course.zones[2].zone == "fast");
    CHECK(course.zones[3].zone == "not there");
    CHECK(course.zones[3].spans.empty());
    CHECK(course.until_s == min(80.0));
}

TEST_CASE("a schedule for booth air is followed on the booth air, a maximum on the zone") {
    Coating coating = one_row_clear();
    coating.basis = ScheduleBasis::booth_air;
    TraceSet set;
    set.traces = {trace_of({{0, 60}, {60, 60}}, "air", TraceRole::booth_air), trace_of({{0, 20}, {60, 30}}, "skin")};
    const BakeCourse course = bake_course(set, coating, {});
    REQUIRE(course.zones.size() == 1);
    REQUIRE(course.zones[0].cured_from_s.has_value());
    CHECK(std::abs(*course.zones[0].cured_from_s - min(30.0)) < 1e-5);
    set.traces.erase(set.traces.begin());
    CHECK(bake_course(set, coating, {}).zones[0].spans.empty());
}

TEST_CASE("an item fills by the time above a limit over the time allowed") {
    // By hand: above 50 degC from minute 15 to 45, of 60 min allowed: half. With 40 min from bakes before, full at minute 35.
    const Trace trace = trace_of({{0, 20}, {30, 80}, {60, 20}}, "seat", TraceRole::item);
    const HeatSensitiveItem item = item_with({{c(50.0), min(60.0), ExposureScope::lifetime}});
    const ItemCourse fresh = item_course(trace, item);
    CHECK(std::abs(fresh.used.back().share - 0.5) < 1e-9);
    CHECK(fresh.used.front().share == 0.0);
    CHECK_FALSE(fresh.passed_at_s.has_value());
    const ItemCourse used = item_course(trace, item, {min(40.0)});
    REQUIRE(used.passed_at_s.has_value());
    CHECK(std::abs(*used.passed_at_s - min(35.0)) < 1e-5);
    CHECK(std::abs(used.used.front().share - 40.0 / 60.0) < 1e-9);
    CHECK(used.word == Word::over);
    const HeatSensitiveItem each_bake = item_with({{c(50.0), min(60.0), ExposureScope::bake}});
    CHECK(std::abs(item_course(trace, each_bake, {min(40.0)}).used.back().share - 0.5) < 1e-9);
}

TEST_CASE("towards a temperature never to be reached an item fills by the way it has gone, and never empties") {
    // By hand: from 20 towards 100 degC; at minute 15 it is at 40 degC, a quarter of the way; at most 60 degC, half. Tolerance: a
    // corner is left out where the share rises by less than 0.01.
    std::vector<std::pair<double, double>> points;
    for (int i = 0; i <= 120; ++i) points.emplace_back(i * 0.5, i <= 60 ? 20.0 + i * 40.0 / 60.0 : 60.0 - (i - 60) * 30.0 / 60.0);
    const Trace trace = trace_of(points, "screen", TraceRole::item);
    const ItemCourse course = item_course(trace, item_with({{c(100.0), 0.0, ExposureScope::bake}}));
    CHECK(std::abs(course.used.back().share - 0.5) < 1e-9);
    for (std::size_t i = 1; i < course.used.size(); ++i) CHECK(course.used[i].share >= course.used[i - 1].share);
    CHECK(course.used.size() < 70);
    CHECK_FALSE(course.passed_at_s.has_value());
    const ItemCourse passed = item_course(trace, item_with({{c(50.0), 0.0, ExposureScope::bake}}));
    REQUIRE(passed.passed_at_s.has_value());
    CHECK(std::abs(*passed.passed_at_s - min(22.5)) < 1e-5);
    CHECK(passed.used.back().share > 1.0);
}

TEST_CASE("of several limits the one with the largest share fills the lane") {
    const Trace trace = trace_of({{0, 20}, {30, 80}, {60, 20}}, "seat", TraceRole::item);
    const ItemCourse course =
        item_course(trace, item_with({{c(50.0), min(300.0), ExposureScope::bake}, {c(90.0), 0.0, ExposureScope::bake}}));
    REQUIRE(course.nearest.has_value());
    CHECK(course.nearest->temperature_k == c(90.0));
    CHECK(std::abs(course.used.back().share - 60.0 / 70.0) < 1e-9);
}
