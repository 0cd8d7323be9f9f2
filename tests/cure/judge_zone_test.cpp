// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/judge.hpp"
#include "traces.hpp"

using namespace bakewright;
using namespace bakewright::cure;
using namespace bakewright::cure::test;

namespace {

Word word_for(const Trace& trace, const Coating& coating) { return judge_zone(trace, coating).word; }

}  // namespace

TEST_CASE("a row met in one stay is good") {
    const ZoneVerdict verdict = judge_zone(held(61.0, 31.0), one_row_clear());
    CHECK(verdict.word == Word::good);
    REQUIRE(verdict.rows.size() == 1);
    CHECK(verdict.rows[0].missing_s == 0.0);
    CHECK(verdict.rows[0].longest_stay_s > min(31.0));
    CHECK(verdict.dose.least() >= 1.0);
    CHECK(!verdict.why_not);
}

TEST_CASE("a hold of the sheet's minutes at the sheet's temperature is good to the second") {
    CHECK(word_for(trace_of({{0, 20}, {15, 60}, {45, 60}, {60, 20}}), one_row_clear()) == Word::good);
    // A fifth of a minute short with sharp edges, no credit from the ramps.
    CHECK(word_for(trace_of({{0, 20}, {0.01, 60}, {29.8, 60}, {29.81, 20}}), one_row_clear()) == Word::under);
}

TEST_CASE("a plateau under the schedule that only some activation energies call cured is CHECK, as the low rocker is") {
    const ZoneVerdict verdict = judge_zone(held(55.0, 36.0), one_row_clear());
    CHECK(verdict.word == Word::check);
    CHECK(verdict.rows[0].longest_stay_s == 0.0);
    CHECK(verdict.dose.least() < 1.0);
    CHECK(verdict.dose.most() > 1.0);
}

TEST_CASE("too cold or too short by both readings is UNDER, and what is missing is told") {
    const ZoneVerdict verdict = judge_zone(held(60.0, 10.0), one_row_clear());
    CHECK(verdict.word == Word::under);
    CHECK(std::abs(verdict.rows[0].missing_s - min(20.0)) <= 1e-6);
    CHECK(!verdict.cured_at_s);
    CHECK(word_for(held(44.9, 600.0), one_row_clear()) == Word::under);
}

TEST_CASE("a dose under a default activation energy never makes a GOOD against the sheet's own terms") {
    // Zero minutes at the sheet's temperature: a confident GOOD here is what loses a painter's trust (common practice, no
    // source).
    const ZoneVerdict verdict = judge_zone(held(58.0, 60.0), one_row_clear());
    CHECK(verdict.dose.least() > 1.0);
    CHECK(verdict.word == Word::check);
}

TEST_CASE("long enough under the schedule is CHECK by any activation energy, the coating's own too") {
    Coating coating = one_row_clear();
    coating.activation_energy = ActivationEnergy{};
    const ZoneVerdict verdict = judge_zone(held(58.0, 60.0), coating);
    CHECK(verdict.word == Word::check);
    CHECK(verdict.rows[0].longest_stay_s == 0.0);
    CHECK(!verdict.cured_at_s);
}

TEST_CASE("either row of a sheet is enough") {
    CHECK(word_for(held(80.0, 15.0), two_row_clear()) == Word::good);
    CHECK(word_for(held(60.0, 30.0), two_row_clear()) == Word::good);
}

TEST_CASE("a cold row under the floor is met in the sheet's own terms though it earns no dose") {
    Coating coating = one_row_clear();
    coating.schedule.insert(coating.schedule.begin(), {c(20), min(900), {}});
    const ZoneVerdict verdict = judge_zone(trace_of({{0, 21}, {901, 21}}), coating);
    CHECK(verdict.word == Word::good);
    CHECK(verdict.dose.most() == 0.0);
    CHECK(verdict.reference_temperature_k == c(60));
}

TEST_CASE("heat beyond the last row counts at that row's rate and is told") {
    const ZoneVerdict verdict = judge_zone(trace_of({{0, 75}, {20, 75}}), one_row_clear());
    CHECK(verdict.word == Word::under);
    CHECK(std::abs(verdict.dose.most() - 20.0 / 30.0) <= 1e-12);
    CHECK(std::abs(verdict.beyond_last_row_s - min(20.0)) <= 1e-9);
    CHECK(std::abs(verdict.equivalent_time_s.at_value - min(20.0)) <= 1e-9);
}

TEST_CASE("an absolute maximum passed is OVER, also where the zone is not cured") {
    Coating coating = one_row_clear();
    coating.absolute_maximum_k = c(66.0);
    CHECK(word_for(held(66.0, 35.0), coating) == Word::good);
    CHECK(word_for(held(66.1, 35.0), coating) == Word::over);
    CHECK(word_for(trace_of({{0, 20}, {10, 70}, {20, 20}}), coating) == Word::over);
}

TEST_CASE("longer than the longest bake is OVER, and CHECK where the activation energy decides") {
    CHECK(word_for(held(60.0, 60.0), two_row_clear()) == Word::good);
    CHECK(word_for(held(60.0, 100.0), two_row_clear()) == Word::over);
    // Beyond the last row the line goes on for too much heat: at 90 degC 45 min of 80 degC last 34 (E 30) to 23 min (E 75).
    CHECK(word_for(held(90.0, 15.0), two_row_clear()) == Word::good);
    CHECK(word_for(trace_of({{0, 90}, {28, 90}}), two_row_clear()) == Word::check);
    CHECK(word_for(trace_of({{0, 90}, {36, 90}}), two_row_clear()) == Word::over);
}

TEST_CASE("a hotter or longer bake never goes from cured back to under") {
    int before = 0;
    const auto stage = [](Word word) { return word == Word::under ? 0 : word == Word::check ? 1 : 2; };
    const Coating own = two_row_clear();
    for (double hold_min = 0.5; hold_min <= 60.0; hold_min += 1.5) {
        const int here = stage(word_for(held(64.0, hold_min), own));
        CHECK(here >= before);
        before = here;
    }
    CHECK(before == 2);
}

TEST_CASE("peak, steepest minute and moment of cure are told") {
    const ZoneVerdict verdict = judge_zone(held(60.0, 45.0), one_row_clear());
    CHECK(verdict.peak_temperature_k == c(60));
    CHECK(verdict.peak_at_s == min(15));
    CHECK(std::abs(verdict.steepest_rate_k_per_s - 40.0 / min(15)) <= 1e-9);
    CHECK(*verdict.cured_at_s > min(40));
    CHECK(*verdict.cured_at_s < min(45));
}

TEST_CASE("fewer than two usable samples are not judged") {
    for (const Trace& trace :
         {Trace{}, trace_of({{0, 60}}), trace_of({{0, kMissing}, {9, kMissing}}), trace_of({{0, 60}, {9, kMissing}})}) {
        const ZoneVerdict verdict = judge_zone(trace, one_row_clear());
        CHECK(verdict.word == Word::not_judged);
        CHECK(verdict.why_not == NotJudged::too_little);
    }
}

TEST_CASE("a gap that may hide the cure makes UNDER a CHECK, one that cannot does not") {
    // 17 of 30 min seen at 60 degC, ten minutes of nothing in between.
    const ZoneVerdict open =
        judge_zone(trace_of({{0, 20}, {15, 60}, {23, 60}, {28, kMissing}, {33, 60}, {42, 60}, {57, 20}}), one_row_clear());
    CHECK(open.word == Word::check);
    CHECK(open.gap_may_hide_cure);
    // The same gap during cooling, at the end: the zone cannot have got far at the rates it showed.
    const ZoneVerdict closed =
        judge_zone(trace_of({{0, 20}, {15, 60}, {25, 60}, {40, 30}, {43, kMissing}, {50, 25}, {65, 20}}), one_row_clear());
    CHECK(closed.word == Word::under);
    CHECK(!closed.gap_may_hide_cure);
}

TEST_CASE("a gap leaves a cure that was seen standing") {
    CHECK(word_for(trace_of({{0, 20}, {15, 62}, {20, 62}, {25, kMissing}, {30, 62}, {61, 62}, {80, 20}}), one_row_clear()) ==
          Word::good);
}

TEST_CASE("a gap is never GOOD where it may hide more than the absolute maximum") {
    Coating coating = one_row_clear();
    const Trace gapped = trace_of({{0, 20}, {15, 62}, {50, 62}, {55, kMissing}, {60, 62}, {75, 20}});
    CHECK(word_for(gapped, coating) == Word::good);
    coating.absolute_maximum_k = c(66.0);
    CHECK(word_for(gapped, coating) == Word::check);
    CHECK(judge_zone(gapped, coating).gap_may_hide_heat);
    coating.absolute_maximum_k = c(120.0);
    CHECK(word_for(gapped, coating) == Word::good);
}

TEST_CASE("a probe lost while hot leaves the verdict open, one lost when cold does not") {
    CHECK(word_for(trace_of({{0, 20}, {15, 60}, {30, 60}, {31, kMissing}, {60, kMissing}}), one_row_clear()) == Word::check);
    CHECK(word_for(trace_of({{0, 20}, {15, 60}, {30, 60}, {45, 22}, {46, kMissing}, {90, kMissing}}), one_row_clear()) ==
          Word::under);
    CHECK(word_for(trace_of({{0, 20}, {5, 35}, {6, kMissing}, {60, kMissing}}), one_row_clear()) == Word::check);
    CHECK(word_for(trace_of({{0, kMissing}, {20, 60}, {40, 60}, {55, 20}}), one_row_clear()) == Word::check);
    // Cold when the probe came on, so nothing was missed.
    CHECK(word_for(trace_of({{0, kMissing}, {20, 30}, {35, 60}, {45, 60}, {60, 20}}), one_row_clear()) == Word::under);
}

TEST_CASE("a bake that stops short is judged for what it gave") {
    const ZoneVerdict verdict = judge_zone(trace_of({{0, 20}, {15, 60}, {30, 60}}), one_row_clear());
    CHECK(verdict.word == Word::under);
    CHECK(std::abs(verdict.rows[0].missing_s - min(15)) <= 1e-6);
}

TEST_CASE("a coating without a schedule breaks a promise") {
    CHECK_THROWS_AS((void)judge_zone(held(60, 30), Coating{}), PromiseError);
}

TEST_CASE("time beyond the last row counts as nothing where the coating says so, for a row as well") {
    Coating coating = two_row_clear();
    coating.schedule = {{c(60), min(30), {}}, {c(80), min(20), {}}};
    const Trace hot = trace_of({{0, 20}, {10, 90}, {24, 90}, {30, 20}});
    CHECK(judge_zone(hot, coating).word == Word::good);  // 14 min at the rate of the last row, and the flanks
    coating.beyond_last_row = BeyondLastRow::counts_as_nothing;
    CHECK(judge_zone(hot, coating).word == Word::under);
    CHECK(judge_zone(hot, coating).beyond_last_row_s > min(14));
    CHECK(judge_zone(trace_of({{0, 20}, {10, 90}, {31, 90}, {40, 20}}), coating).word ==
          Word::under);  // 20 min at or above 80 degC, but hotter than the sheet prints
}

TEST_CASE("a coating with a rate law tells the degree of cure and lets no word depend on it") {
    Coating coating = one_row_clear();
    const Trace bake = trace_of({{0, 20}, {10, 61}, {45, 61}, {55, 20}});
    CHECK(!judge_zone(bake, coating).conversion);
    coating.kinetics = Kinetics{};
    coating.kinetics->first = ArrheniusRate{1e-9, 55e3};  // as good as none
    coating.kinetics->required_conversion = 0.8;
    const ZoneVerdict verdict = judge_zone(bake, coating);
    REQUIRE(verdict.conversion);
    CHECK(verdict.conversion->conversion < 1e-6);
    CHECK(!verdict.conversion->reached_s);
    CHECK(verdict.required_conversion == 0.8);
    CHECK(verdict.word == Word::good);
}
