// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/rule.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <random>

#include "bakewright/cure/judge.hpp"
#include "traces.hpp"

using namespace bakewright;
using namespace bakewright::cure;
using namespace bakewright::cure::test;

namespace {

Coating rows(std::vector<ScheduleRow> schedule) {
    Coating coating = one_row_clear();
    coating.schedule = std::move(schedule);
    return coating;
}

/// 50 degC / 60 min and 60 degC / 30 min.
Coating low_bake() { return rows({{c(50), min(60), {}}, {c(60), min(30), {}}}); }

WindowReading read(const Trace& trace, const Coating& coating, double offset_k = 0.0) {
    const JoinedTrace joined(trace);
    return read_window(StayTrace(joined), CureWindow(coating), offset_k);
}

/// At one temperature from the first second to the last.
Trace steady(double hold_c, double hold_min) { return trace_of({{0, hold_c}, {hold_min, hold_c}}); }

}  // namespace

TEST_CASE("the window is the printed minutes on a row and log-linear in 1/T between two") {
    const CureWindow window(low_bake());
    CHECK(std::abs(window.required_s(c(50)) - min(60)) <= 1e-6);
    CHECK(std::abs(window.required_s(c(60)) - min(30)) <= 1e-6);
    // By hand: ln m = ln 60 - ln 2 (1/323.15 - 1/330.15) / (1/323.15 - 1/333.15) gives 36.77 min at 57 degC.
    CHECK(std::abs(window.required_s(c(57)) / 60.0 - 36.77) <= 0.01);
    CHECK(std::abs(window.required_s(c(75)) - min(30)) <= 1e-6);
    CHECK(std::isinf(window.required_s(c(49.9))));
}

TEST_CASE("57 degC is cured after 36.8 min by rows at 50 and 60 degC, with no row met") {
    CHECK(!read(steady(57, 36.7), low_bake()).is_cured());
    const WindowReading reading = read(steady(57, 36.8), low_bake());
    CHECK(reading.is_cured());
    REQUIRE(reading.reached_s);
    CHECK(std::abs(*reading.reached_s / 60.0 - 36.77) <= 0.01);
    const ZoneVerdict verdict = judge_zone(steady(57, 36.8), low_bake());
    CHECK(verdict.word == Word::good);
    CHECK(verdict.reason.find("between the sheet's rows") != std::string::npos);
}

TEST_CASE("credit along a slope is the integral of its rate") {
    // Held against 2,000 steps of the middle rule, which is within 1e-4 of the integral here: one step straddles the edge at 50
    // degC.
    const CureWindow window(low_bake());
    const double whole = window.credit(c(48), c(66), 1000.0);
    double sum = 0.0;
    for (int i = 0; i < 2000; ++i) {
        const double minutes_s = window.required_s(c(48) + 18.0 * (i + 0.5) / 2000.0);
        if (std::isfinite(minutes_s)) sum += 0.5 / minutes_s;
    }
    CHECK(std::abs(whole - sum) <= 1e-4);
    CHECK(std::abs(window.credit(c(66), c(48), 1000.0) - whole) <= 1e-12);
}

TEST_CASE("rows over 20 K apart or below the floor are not read between") {
    const Coating wide = rows({{c(50), min(60), {}}, {c(71), min(15), {}}});
    CHECK(std::abs(CureWindow(wide).required_s(c(65)) - min(60)) <= 1e-6);
    const Coating cold = rows({{c(20), min(900), {}}, {c(60), min(30), {}}});
    CHECK(std::isinf(CureWindow(cold).required_s(c(50))));
    CHECK(read(steady(21, 901), cold).is_cured());
    CHECK(!read(steady(50, 300), cold).is_cured());
}

TEST_CASE("hotter than a last row that counts as nothing earns nothing, by row or by credit") {
    Coating coating = one_row_clear();
    coating.beyond_last_row = BeyondLastRow::counts_as_nothing;
    CHECK(read(steady(60, 30), coating).is_cured());
    CHECK(!read(steady(61, 300), coating).is_cured());
    CHECK(judge_zone(steady(61, 300), coating).rows.front().longest_stay_s == 0.0);
    coating.beyond_last_row = BeyondLastRow::counts_as_last_row;
    CHECK(read(steady(61, 30), coating).is_cured());
}

TEST_CASE("separate stays do not add up to a GOOD") {
    const Trace twice = trace_of({{0, 60}, {20, 60}, {25, 30}, {30, 60}, {50, 60}});
    const ZoneVerdict verdict = judge_zone(twice, one_row_clear());
    CHECK(!verdict.window.is_cured());
    CHECK(verdict.word == Word::check);
}

TEST_CASE("chemistry below the sheet is CHECK with the maker to be asked, whatever activation energy the coating has") {
    for (const bool own : {false, true}) {
        Coating coating = one_row_clear();
        if (own) coating.activation_energy = ActivationEnergy{};
        const ZoneVerdict verdict = judge_zone(trace_of({{0, 20}, {15, 58}, {90, 58}, {100, 20}}), coating);
        CHECK(verdict.dose.least() > 1.0);
        CHECK(verdict.word == Word::check);
        CHECK(verdict.reason.find("ask the coating's maker") != std::string::npos);
    }
}

TEST_CASE("the maker's word opens the window below the sheet, at the careful end of the band, and is told") {
    Coating coating = one_row_clear();
    coating.cured_below_the_sheet_from_k = c(54);
    coating.sources["cured_below_the_sheet_from"] = "the maker's chemist on the phone, 2027-02-01";
    // E = 75 kJ/mol: exp(75000 / 8.314462618 (1/328.15 - 1/333.15)) = 1.511 times 30 min at 55 degC.
    CHECK(std::abs(CureWindow(coating).required_s(c(55)) / 60.0 - 45.3) <= 0.1);
    CHECK(std::isinf(CureWindow(coating).required_s(c(53.9))));
    const Trace trace = trace_of({{0, 55}, {46, 55}}, "rocker");
    TraceSet traces;
    traces.traces = {trace};
    const BakeVerdict verdict = judge_bake(traces, coating, {});
    CHECK(verdict.zones.front().word == Word::good);
    bool is_told = false;
    for (const Phrase& remark : verdict.remarks) is_told = is_told || remark.text().find("on the phone") != std::string::npos;
    CHECK(is_told);
}

TEST_CASE("the slack has the sign of the answer and grows with time and temperature") {
    std::mt19937 bits(5);
    const auto draw = [&](double low, double high) { return low + (high - low) * static_cast<double>(bits() % 10001) / 10000.0; };
    for (int i = 0; i < 200; ++i) {
        const double hold_c = draw(45, 75), hold_min = draw(5, 90);
        const Coating coating = i % 2 == 0 ? low_bake() : one_row_clear();
        const WindowReading here = read(steady(hold_c, hold_min), coating);
        CHECK(here.is_cured() == here.reached_s.has_value());
        CHECK(read(steady(hold_c, hold_min + 1.0), coating).slack_s >= here.slack_s - 1e-6);
        CHECK(read(steady(hold_c + 0.5, hold_min), coating).slack_s >= here.slack_s - 1e-6);
        CHECK(std::abs(read(steady(hold_c, hold_min), coating, 0.5).slack_s -
                       read(steady(hold_c + 0.5, hold_min), coating).slack_s) <= 1e-5);
    }
}

TEST_CASE("what is missing is the time at the heat it had") {
    const WindowReading reading = read(steady(60, 20), one_row_clear());
    CHECK(std::abs(reading.missing_s - min(10)) <= 1e-6);
    CHECK(std::isinf(read(steady(55, 20), one_row_clear()).missing_s));
    CHECK(read(steady(60, 31), one_row_clear()).missing_s == 0.0);
}

TEST_CASE("a trace could be so much colder and still be cured") {
    const Trace trace = trace_of({{0, 20}, {15, 62}, {50, 62}, {60, 20}});
    const JoinedTrace joined(trace);
    // 35 min at 62 degC: 30 min are left 2 K lower and a little more, from the ramps.
    const double slack_k = cure_slack_k(StayTrace(joined), CureWindow(one_row_clear()), 100.0);
    CHECK(slack_k >= 2.0 - 0.01);
    CHECK(slack_k <= 2.1);
    CHECK(read(trace, one_row_clear(), -slack_k + 0.02).is_cured());
    CHECK(!read(trace, one_row_clear(), -slack_k - 0.02).is_cured());
}

TEST_CASE("without a printed maximum 10 K above the hottest row is CHECK") {
    // Common practice, no source.
    CHECK(judge_zone(trace_of({{0, 20}, {10, 69.9}, {45, 69.9}, {55, 20}}), one_row_clear()).word == Word::good);
    const ZoneVerdict hot = judge_zone(trace_of({{0, 20}, {10, 70.2}, {45, 70.2}, {55, 20}}), one_row_clear());
    CHECK(hot.word == Word::check);
    CHECK(hot.is_beyond_sheet);
    Coating stated = one_row_clear();
    stated.absolute_maximum_k = c(90);
    CHECK(judge_zone(trace_of({{0, 20}, {10, 70.2}, {45, 70.2}, {55, 20}}), stated).word == Word::good);
}

TEST_CASE("exactly the allowed minutes are not too long, a second more is") {
    const ExposureLimit limit{c(60), min(30)};
    CHECK(!passes(limit, min(30), true));
    CHECK(!passes(limit, min(30) + 4e-8, true));
    CHECK(passes(limit, min(30) + 1.0, true));
    const ExposureLimit never{c(60), 0.0};
    CHECK(!passes(never, 0.0, false));
    CHECK(passes(never, 0.0, true));
}

TEST_CASE("a word is sure from 95 % on, and CHECK below") {
    CHECK(word_of(WordProbabilities{0.0, 0.951, 0.049}) == Word::good);
    CHECK(word_of(WordProbabilities{0.06, 0.94, 0.0}) == Word::check);
    CHECK(word_of(WordProbabilities{0.96, 0.04, 0.0}) == Word::under);
    CHECK(word_of(WordProbabilities{0.0, 0.04, 0.96}) == Word::over);
}
