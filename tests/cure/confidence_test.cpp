// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/confidence.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/dose.hpp"
#include "bakewright/cure/judge.hpp"
#include "bakewright/cure/readings.hpp"
#include "bakewright/cure/required_time.hpp"
#include "bakewright/cure/rule.hpp"
#include "traces.hpp"

using namespace bakewright;
using namespace bakewright::cure;
using namespace bakewright::cure::test;

namespace {

Trace hold(double hold_c, double hold_min, std::string name = "zone") {
    return trace_of({{0, 20}, {10, hold_c}, {10 + hold_min, hold_c}, {20 + hold_min, 20}}, std::move(name));
}

const TemperatureUncertainty kProbe{1.4433756729740645, "type K, IEC class 2"};  // 2.5 K / sqrt(3)

}  // namespace

TEST_CASE("conformance probabilities of JCGM 106 are met") {
    // Source: JCGM 106:2012, clause 7, the examples of a Zener diode (breakdown voltage -5.47 V, u 0.05 V, upper limit -5.40 V:
    // 92 %), of a metal container (burst strength 509.7 kPa, u 8.6 kPa, lower limit 490 kPa: 99 %), and of motor oil
    // (viscosity 13.6, u 1.8, limits 12.5 and 16.3 mm2/s: 66 %). Numbers from memory. Tolerance: half of the last printed digit.
    CHECK(std::abs(conformance_probability(-5.47, 0.05, std::nullopt, -5.40) - 0.92) <= 0.005);
    CHECK(std::abs(conformance_probability(509.7, 8.6, 490.0, std::nullopt) - 0.99) <= 0.005);
    CHECK(std::abs(conformance_probability(13.6, 1.8, 12.5, 16.3) - 0.66) <= 0.005);
}

TEST_CASE("the z of one-sided limits are those of JCGM 106, table 1") {
    // Source: JCGM 106:2012, table 1 (from memory; they are quantiles of the normal distribution). Tolerance: their rounding.
    const double printed[][2] = {{0.80, 0.84}, {0.90, 1.28}, {0.95, 1.64}, {0.99, 2.33}, {0.999, 3.09}};
    for (const auto& [probability, z] : printed) CHECK(std::abs(guard_band(1.0, probability) - z) <= 0.0051);
}

TEST_CASE("a quantity found at the edge of the guard band conforms with just that probability") {
    for (const double u : {0.3, 1.44}) {
        const double edge = 60.0 + guard_band(u);
        CHECK(std::abs(conformance_probability(edge, u, 60.0, std::nullopt) - 0.95) <= 1e-12);
    }
    // w = U = 2u gives 97.7 % (ISO 14253-1's rule as JCGM 106 restates it, from memory).
    CHECK(std::abs(conformance_probability(62.0, 1.0, 60.0, std::nullopt) - 0.977) <= 0.0005);
}

TEST_CASE("an ensemble that agrees is sure only when it is large enough") {
    const auto of = [](std::size_t cured, std::size_t under) {
        std::vector<MemberChance> members(cured, MemberChance{1.0, 0.0, 1.0});
        members.resize(cured + under, MemberChance{0.0, 0.0, 1.0});
        return certainty_of(ensemble_probabilities(members));
    };
    CHECK(of(36, 0).too_close);
    CHECK(!of(37, 0).too_close);
    CHECK(of(37, 0).best == Word::good);
    CHECK(of(0, 100).best == Word::under);
    CHECK(!of(0, 100).too_close);
    CHECK(of(60, 40).best == Word::good);
    CHECK(of(60, 40).too_close);
    CHECK(std::abs(of(60, 40).probability - 61.0 / 103.0) <= 1e-12);
    CHECK(of(0, 0).too_close);
    CHECK(of(50, 50).best == Word::under);  // of two alike the worse
}

TEST_CASE("weights of an ensemble are shares, and a heavy member makes it small") {
    // One of two members carries nearly all the weight: it is as good as one member.
    const std::vector<MemberChance> members{{1.0, 0.0, 1e6}, {0.0, 0.0, 1.0}};
    const WordProbabilities found = ensemble_probabilities(members);
    CHECK(std::abs(found.good - 0.5) <= 1e-5);  // (1 + 1) / (1 + 3)
    CHECK(std::abs(found.under + found.good + found.over - 1.0) <= 1e-12);
    const std::vector<MemberChance> wrong{{1.0, 0.0, 0.0}};
    CHECK_THROWS_AS((void)ensemble_probabilities(wrong), PromiseError);
}

TEST_CASE("a hold far above or far below is sure, one at the line is a coin's toss") {
    // At the line: 30 min at 60 degC exactly, all of it at one temperature, by the sheet's own row.
    const Certainty line = zone_certainty(trace_of({{0, 60}, {30, 60}}), trace_of({{0, 60}, {30, 60}}), told_clear(), kProbe);
    CHECK(std::abs(line.probabilities.good - 0.5) <= 2e-3);
    CHECK(line.too_close);
    const Certainty far = zone_certainty(hold(70, 60), hold(70, 60), told_clear(), kProbe);
    CHECK(far.best == Word::good);
    CHECK(!far.too_close);
    const Certainty cold = zone_certainty(hold(48, 10), hold(48, 10), told_clear(), kProbe);
    CHECK(cold.best == Word::under);
    CHECK(!cold.too_close);
}

TEST_CASE("the probability of a hold agrees with the closed form of the guard band") {
    // A hold of 30 min that reads 60 + d is cured where the offset is above -d: Phi(d / u). Tolerance: 2e-3, the halvings and the
    // flanks.
    for (const double d : {-2.0, -0.5, 0.7, 1.5, 3.0}) {
        CAPTURE(d);
        const Trace trace = trace_of({{0, 60 + d}, {30, 60 + d}});
        const Certainty certainty = zone_certainty(trace, trace, told_clear(), kProbe);
        CHECK(std::abs(certainty.probabilities.good - conformance_probability(d, kProbe.standard_k, 0.0, std::nullopt)) <= 2e-3);
    }
}

TEST_CASE("the probabilities agree with a simulation of the offset") {
    // Two rows with maxima: under, good and over all happen. Tolerance: 0.015, four standard errors of 20000 draws.
    const Coating coating = two_row_clear();
    const Trace trace = trace_of({{0, 40}, {8, 61}, {85, 63}, {95, 40}});
    const TemperatureUncertainty wide{3.0, "test"};
    const Certainty certainty = zone_certainty(trace, trace, coating, wide);
    std::mt19937 random(7);
    std::normal_distribution<double> normal(0.0, wide.standard_k);
    const ChosenActivationEnergy chosen = choose_activation_energy(coating);
    const CureWindow window(coating);
    WordProbabilities counted;
    constexpr int kDraws = 20000;
    for (int i = 0; i < kDraws; ++i) {
        Trace shifted = trace;
        const double offset_k = normal(random);
        for (double& temperature_k : shifted.temperature_k) temperature_k += offset_k;
        const double energies[3] = {chosen.energy.low_j_per_mol, chosen.energy.value_j_per_mol, chosen.energy.high_j_per_mol};
        const double energy = energies[i % 6 == 0 ? 0 : i % 6 == 5 ? 2 : 1];  // 1 : 4 : 1
        const RequiredTime most(maximum_points(coating), energy, coating.floor_k, BeyondLastPoint::go_on);
        const JoinedTrace joined(shifted);
        const bool is_cured = read_window(StayTrace(joined), window).is_cured();
        if (dose(shifted, most).dose > 1.0)
            counted.over += 1.0 / kDraws;
        else
            (is_cured ? counted.good : counted.under) += 1.0 / kDraws;
    }
    CHECK(std::abs(certainty.probabilities.under - counted.under) <= 0.015);
    CHECK(std::abs(certainty.probabilities.good - counted.good) <= 0.015);
    CHECK(std::abs(certainty.probabilities.over - counted.over) <= 0.015);
    CHECK(counted.over > 0.02);
    CHECK(counted.good > 0.1);
}

TEST_CASE("the more time that is asked for makes it sure") {
    // 3 K over the row, so that even 1.645 standard uncertainties colder it stays there, but for too short.
    const Trace shy = hold(63, 28);
    const Certainty before = zone_certainty(shy, shy, told_clear(), kProbe);
    REQUIRE(before.too_close);
    REQUIRE(before.more_time_s);
    const double more_min = *before.more_time_s / 60.0;
    const double guarded_c = kelvin_to_celsius(before.more_time_at_k);
    CHECK(std::abs(guarded_c - 60.0 - guard_band(kProbe.standard_k)) <= 1e-9);
    Trace longer = trace_of({{0, 20}, {10, 63}, {38, 63}, {38.1 + more_min, std::max(guarded_c, 63.0)}, {60 + more_min, 20}});
    CHECK(!zone_certainty(longer, longer, told_clear(), kProbe).too_close);
}

TEST_CASE("the sharper probe that is asked for makes it sure") {
    const Trace shy = trace_of({{0, 61}, {30, 61}});
    const Certainty before = zone_certainty(shy, shy, told_clear(), kProbe);
    REQUIRE(before.sharper_k);
    CHECK(*before.sharper_k < kProbe.standard_k);
    CHECK(!zone_certainty(shy, shy, told_clear(), {0.99 * *before.sharper_k, "calibrated"}).too_close);
}

TEST_CASE("chemistry below the sheet leaves a sure UNDER in doubt, and no more") {
    // 54 degC for two hours: the window is never entered, the dose is met over the whole band.
    TraceSet set;
    set.traces = {hold(54, 120, "sill")};
    BakeVerdict verdict = judge_bake(set, one_row_clear(), {});
    add_certainty(verdict, set, one_row_clear(), {0.2, "calibrated"});
    CHECK(verdict.zones.front().certainty->probabilities.under > 0.99);
    CHECK(verdict.zones.front().word == Word::check);
    CHECK(!verdict.zones.front().certainty->too_close);
}

TEST_CASE("a peak near the absolute maximum is no surer than the probe") {
    Coating coating = told_clear();
    coating.absolute_maximum_k = c(66);
    const Trace hot = hold(65, 60);
    const Certainty certainty = zone_certainty(hot, hot, coating, kProbe);
    CHECK(std::abs(certainty.probabilities.over - (1.0 - conformance_probability(0.0, kProbe.standard_k, std::nullopt, 1.0))) <=
          1e-6);
    CHECK(certainty.too_close);
    CHECK(!certainty.more_time_s);  // longer does not make it cooler
}

TEST_CASE("a bake's verdict carries the certainty of every judged zone and says what it rests on") {
    TraceSet set;
    set.traces = {hold(70, 60, "roof"), hold(61, 31, "sill"), trace_of({{0, kMissing}, {10, kMissing}}, "door")};
    BakeVerdict verdict = judge_bake(set, told_clear(), {});
    add_certainty(verdict, set, told_clear(), kProbe);
    CHECK(verdict.uncertainty_origin == kProbe.origin);
    for (const ZoneVerdict& zone : verdict.zones) {
        CAPTURE(zone.zone);
        CHECK(zone.certainty.has_value() == (zone.zone != "door"));
        if (zone.zone == "roof") CHECK(certainty_text(zone, Units{}) == "GOOD, over 99 % sure");
        if (zone.zone == "sill") CHECK(zone.word == Word::check);
        if (zone.zone == "sill") CHECK(certainty_text(zone, Units{}).find("too close to call: best guess GOOD, ") == 0);
        if (zone.zone == "sill") CHECK(certainty_text(zone, Units{}).find("what would settle it: ") != std::string::npos);
    }
    CHECK_THROWS_AS(add_certainty(verdict, set, told_clear(), {0.0, ""}), PromiseError);
}

TEST_CASE("each zone is as sure as its own probe: a good one is not punished for a bad one elsewhere") {
    // Each zone's certainty is the one it has alone with its own uncertainty: 1 K above the schedule's row is sure for a probe
    // good to 0.2 K and not for one good to 2.5 K.
    TraceSet set;
    set.traces = {hold(61, 31, "roof"), hold(61, 31, "sill"), hold(61, 31, "panel")};
    set.traces[2].role = TraceRole::item;
    const HeatSensitiveItem panel{"panel", "", {{c(62), 0.0, ExposureScope::bake}}, {}};
    BakeVerdict verdict = judge_bake(set, told_clear(), {panel});
    const auto own_k = [](const std::string& trace) { return trace == "roof" ? 0.2 : trace == "sill" ? 2.5 : 0.4; };
    add_certainty(verdict, set, told_clear(), own_k, "records");
    CHECK(verdict.uncertainty_origin == "records");
    CHECK(verdict.standard_uncertainty_k == 0.0);
    for (const ZoneVerdict& zone : verdict.zones) {
        CAPTURE(zone.zone);
        const Trace& trace = *set.find(zone.zone);
        const Certainty alone = zone_certainty(trace, trace, told_clear(), {own_k(zone.zone), ""});
        REQUIRE(zone.certainty.has_value());
        CHECK(zone.certainty->probability == alone.probability);
        CHECK(zone.certainty->too_close == (zone.zone == "sill"));
    }
    CHECK(std::abs(verdict.items[0].certainty->probabilities.good - conformance_probability(61.0, 0.4, std::nullopt, 62.0)) <=
          5e-4);
    add_certainty(
        verdict, set, told_clear(), [](const std::string&) { return 0.7; }, "records");
    CHECK(verdict.standard_uncertainty_k == 0.7);
    CHECK_THROWS_AS(add_certainty(
                        verdict, set, told_clear(), [](const std::string&) { return 0.0; }, ""),
                    PromiseError);
}

TEST_CASE("where the schedule means booth air, a zone's word rests on the probe in the air") {
    Coating coating = told_clear();
    coating.basis = ScheduleBasis::booth_air;
    TraceSet set;
    set.traces = {hold(62, 40, "air"), hold(61, 40, "roof")};
    set.traces[0].role = TraceRole::booth_air;
    BakeVerdict verdict = judge_bake(set, coating, {});
    add_certainty(
        verdict, set, coating, [](const std::string& trace) { return trace == "air" ? 0.2 : 5.0; }, "records");
    const auto roof =
        std::find_if(verdict.zones.begin(), verdict.zones.end(), [](const auto& zone) { return zone.zone == "roof"; });
    REQUIRE(roof != verdict.zones.end());
    CHECK_FALSE(roof->certainty->too_close);
    CHECK(verdict.standard_uncertainty_k == 0.2);
}

TEST_CASE("a verdict that a gap leaves open is never sure") {
    TraceSet set;
    set.traces = {trace_of({{0, 20}, {10, 60}, {15, 60}, {16, kMissing}, {40, kMissing}, {50, 60}, {52, 60}, {70, 20}}, "roof")};
    BakeVerdict verdict = judge_bake(set, told_clear(), {});
    REQUIRE(verdict.zones[0].gap_may_hide_cure);
    add_certainty(verdict, set, told_clear(), {0.1, "calibrated"});
    CHECK(verdict.zones[0].certainty->too_close);
    CHECK(certainty_text(verdict.zones[0], Units{}).find("readings without the gap") != std::string::npos);
}

TEST_CASE("an item is as sure as its peak is far from a limit that is never to be reached") {
    // Closed form: a peak d under the limit stays under it where the offset is below d: Phi(d / u). Tolerance: the halvings,
    // 5e-4.
    for (const double d : {-3.0, -0.5, 0.5, 1.0, 4.0}) {
        CAPTURE(d);
        const Certainty certainty = item_certainty(hold(67 - d, 60), {{c(67), 0.0, ExposureScope::bake}}, kProbe);
        CHECK(std::abs(certainty.probabilities.good - conformance_probability(0.0, kProbe.standard_k, std::nullopt, d)) <= 1e-3);
        CHECK(certainty.probabilities.under == 0.0);
        CHECK(certainty.best == (d > 0.0 ? Word::good : Word::over));
    }
}

TEST_CASE("an item's minutes are as sure as the offset at which they run out") {
    // A triangle 20-80-20 degC over 60 min is at or above T for 80 - T minutes: 8 min as it reads, more than 10 min from an
    // offset of 2 K on. Closed form, tolerance as above.
    const Trace triangle = trace_of({{0, 20}, {30, 80}, {60, 20}});
    const Certainty certainty = item_certainty(triangle, {{c(72), min(10), ExposureScope::bake}}, kProbe);
    CHECK(std::abs(certainty.probabilities.good - conformance_probability(0.0, kProbe.standard_k, std::nullopt, 2.0)) <= 1e-3);
}

TEST_CASE("a bake's verdict says of an item too close to its limit what would settle it") {
    TraceSet set;
    set.traces = {hold(66, 60, "fairing"), hold(40, 60, "fridge")};
    for (Trace& trace : set.traces) trace.role = TraceRole::item;
    const std::vector<HeatSensitiveItem> items = {{"fairing", "", {{c(67), 0.0, ExposureScope::bake}}, {}},
                                                  {"fridge", "", {{c(67), 0.0, ExposureScope::bake}}, {}}};
    BakeVerdict verdict = judge_bake(set, told_clear(), items);
    add_certainty(verdict, set, told_clear(), kProbe);
    for (const ItemVerdict& item : verdict.items) {
        REQUIRE(item.certainty);
        CHECK(item.certainty->too_close == (item.item == "fairing"));
        if (item.item == "fairing")
            CHECK(certainty_text(item, Units{}).find("too close to call: best guess GOOD, ") == 0);
        else
            CHECK(certainty_text(item, Units{}) == "GOOD, over 99 % sure");
    }
}
