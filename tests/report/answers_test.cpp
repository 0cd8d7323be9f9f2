// SPDX-License-Identifier: Apache-2.0
// The first lines of an answer: what they hold, in which order, how little room they take.

#include "bakewright/report/answers.hpp"

#include <doctest/doctest.h>

#include "bakewright/base/units.hpp"
#include "lines.hpp"
#include "sample_report.hpp"

using namespace bakewright;
using namespace bakewright::report;

namespace {

std::size_t line_count(const std::string& text) { return static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n')); }

bool says_so(const std::string& text, std::string_view part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("a short answer names its parts, and each part is shown where it is asked for") {
    Answer answer{TextOptions{}};
    answer.say("First.").brief("table\n").part("zones", "all zones\n").part("items", "all items\n").part("none", "");
    CHECK(answer.text() == "First.\n\ntable\n\nMore: --details, or one part of it: zones, items.\n");
    CHECK(answer.text("items") == "First.\n\nall items\n");
    CHECK(answer.text("all") == "First.\n\nall zones\n\nall items\n");
    CHECK(says_so(answer.text("fixes"), "There is nothing about 'fixes' in this answer; it has zones, items."));
}

TEST_CASE("cautions stand in one line of a short answer, and in full behind it") {
    Answer answer{TextOptions{}};
    answer.say("First.").cautions(nullptr);
    CHECK(says_so(answer.text(), "nobody inside"));
    CHECK(!says_so(answer.text(), "Isocyanates"));
    for (const Caution& caution : cautions()) CHECK(says_so(answer.text("cautions"), caution.subject));
}

TEST_CASE("a brief table counts what it leaves out and has no sentence below a row") {
    Table table({{"zone"}});
    for (int i = 0; i < 6; ++i) table.add({"zone " + std::to_string(i)}, "a reason");
    const std::string text = brief_table(table, {}, 4, "zones");
    CHECK(says_so(text, "zone 2"));
    CHECK(!says_so(text, "zone 3"));
    CHECK(says_so(text, "... and 3 more: --details zones"));
    CHECK(!says_so(text, "a reason"));
    CHECK(!says_so(brief_table(table, {}, 6, "zones"), "more"));
}

TEST_CASE("a cycle is one line a stage, by the clock where it is known; two slopes of a cool-down are one line") {
    const double cold_k = celsius_to_kelvin(20.0), hot_k = celsius_to_kelvin(60.0);
    const std::vector<bake::ResolvedStage> stages = {{bake::StageKind::flash_off, 0.0, 600.0, cold_k, cold_k, 0},
                                                     {bake::StageKind::ramp, 600.0, 1800.0, cold_k, hot_k, 1},
                                                     {bake::StageKind::hold, 1800.0, 5400.0, hot_k, hot_k, 2},
                                                     {bake::StageKind::cool, 5400.0, 6000.0, hot_k, cold_k, 3},
                                                     {bake::StageKind::cool, 6000.0, 6060.0, cold_k, cold_k, 4}};
    std::vector<bake::ResolvedStage> opened = stages;
    opened[2].door_open_s = opened[4].door_open_s = 120.0;
    CHECK(says_so(cycle_lines(opened, {}, "2027-03-01T16:20:00"), "open       2 min  doors, no heat  16:50 to 16:52"));
    CHECK(line_count(cycle_lines(opened, {}, {})) == 7);
    const std::string text = cycle_lines(stages, {}, "2027-03-01T16:20:00");
    CHECK(line_count(text) == 4);
    CHECK(says_so(text, "hold        60 min  at 60 °C        16:50 to 17:50"));
    CHECK(says_so(text, "cool        11 min  60 to 20 °C     17:50 to 18:01"));
    CHECK(says_so(text, "2.0 K/min"));
    CHECK(says_so(cycle_lines(stages, {}, {}, true), "purge      by the booth itself, before any heat"));
    CHECK(heat_off_s(stages) == 5400.0);
    CHECK(moment_text("2027-03-01T16:20:00", 5400.0) == "at 17:50, 1 h 30 min after the start");
    CHECK(moment_text({}, 5400.0) == "1 h 30 min after the start");
}

TEST_CASE("a verdict begins with its worst place, counts its words and fits a small terminal") {
    const std::string text = verdict_answer(sample::verdict(), {}, {}).text();
    CHECK(line_count(text) <= 40);
    CHECK(widest_line(text) <= 80);
    CHECK(says_so(text, counts_sentence(sample::verdict())));
    CHECK(text.find("Next: ") < text.find("Equivalent"));
    const std::string whole = verdict_answer(sample::verdict(), {}, {}).text("all");
    for (const cure::ZoneVerdict& zone : sample::verdict().zones) CHECK(says_so(whole, zone.zone));
}

TEST_CASE("what a source says in °C is read in °F, a difference without the 32, and a thermocouple's type stays") {
    const Units us = *units_from_name("us");
    CHECK(in_degrees_of("deflects at 67 to 70 degC", us) == "deflects at 153 to 158 °F");
    CHECK(in_degrees_of("type K, IEC 2, tolerance 2.5 K of 60 °C", us) == "type K, IEC 2, tolerance 4.5 °F of 140 °F");
    CHECK(in_degrees_of("rose by 3.0 K/min", us) == "rose by 5.4 °F/min");
    CHECK(in_degrees_of("a limit of 49 °C (120 °F)", us) == "a limit of 120 °F");
    CHECK(in_degrees_of("deflects at 67 to 70 degC", {}) == "deflects at 67 to 70 degC");
}
