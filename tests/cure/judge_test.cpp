// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/judge.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "traces.hpp"

using namespace bakewright;
using namespace bakewright::cure;
using namespace bakewright::cure::test;

namespace {

Trace zone(const std::string& name, double hold_c, TraceRole role = TraceRole::zone) {
    return trace_of({{0, 20}, {10, 20}, {25, hold_c}, {65, hold_c}, {80, 25}}, name, role);
}

/// Larch County's mobile library van, invented: booth air, four coated zones, a bare rail, a test panel and two items.
TraceSet van() {
    TraceSet set;
    set.traces = {zone("booth air", 68, TraceRole::booth_air),
                  zone("roof", 66),
                  zone("left sill", 48),
                  zone("side", 61),
                  zone("rocker", 53),
                  zone("rub rail", 62),
                  zone("test panel", 64, TraceRole::test_panel),
                  zone("seat foam", 52, TraceRole::item),
                  zone("screen", 58, TraceRole::item)};
    return set;
}

std::vector<HeatSensitiveItem> items() {
    return {{"seat foam", "seat foam", {{c(60), 0.0, ExposureScope::bake}}, {}},
            {"screen", "screen", {{c(60), 0.0, ExposureScope::bake}}, {}}};
}

const std::vector<std::string> kCoated = {"roof", "left sill", "side", "rocker", "test panel"};

std::vector<std::string> names(const BakeVerdict& bake) {
    std::vector<std::string> found;
    for (const ZoneVerdict& verdict : bake.zones) found.push_back(verdict.zone);
    return found;
}

bool has_remark(const BakeVerdict& bake, const std::string& words) {
    return std::any_of(bake.remarks.begin(), bake.remarks.end(),
                       [&](const Phrase& remark) { return remark.text().find(words) != std::string::npos; });
}

}  // namespace

TEST_CASE("zones and items come worst first") {
    Coating coating = one_row_clear();
    coating.absolute_maximum_k = c(65.5);
    const BakeVerdict bake = judge_bake(van(), coating, items(), kCoated);
    CHECK(names(bake) == std::vector<std::string>{"roof", "left sill", "rocker", "side", "test panel"});
    CHECK(bake.zones[0].word == Word::over);
    CHECK(bake.zones[1].word == Word::under);
    CHECK(bake.zones[2].word == Word::check);
    CHECK(bake.zones[3].word == Word::good);
    CHECK(bake.items[0].item == "screen");
    CHECK(bake.items[0].word == Word::check);
    CHECK(bake.items[1].word == Word::good);
    CHECK(bake.worst() == Word::over);
}

TEST_CASE("the order of the traces, of the names and of the items does not matter") {
    const BakeVerdict expected = judge_bake(van(), two_row_clear(), items(), kCoated);
    std::mt19937 generator(11);
    for (int i = 0; i < 10; ++i) {
        TraceSet shuffled = van();
        std::vector<std::string> coated = kCoated;
        std::vector<HeatSensitiveItem> limits = items();
        std::shuffle(shuffled.traces.begin(), shuffled.traces.end(), generator);
        std::shuffle(coated.begin(), coated.end(), generator);
        std::shuffle(limits.begin(), limits.end(), generator);
        const BakeVerdict bake = judge_bake(shuffled, two_row_clear(), limits, coated);
        REQUIRE(names(bake) == names(expected));
        for (std::size_t k = 0; k < bake.zones.size(); ++k) {
            CHECK(bake.zones[k].reason == expected.zones[k].reason);
            CHECK(bake.zones[k].dose.at_value == expected.zones[k].dose.at_value);
        }
        CHECK(bake.items[0].item == expected.items[0].item);
        CHECK(bake.remarks == expected.remarks);
    }
}

TEST_CASE("without a list every zone and test panel is judged, and nothing else") {
    CHECK(judge_bake(van(), one_row_clear(), {}).zones.size() == 6);
}

TEST_CASE("a coated zone or an item without a trace is not judged and never good") {
    TraceSet set;
    set.traces = {zone("roof", 66)};
    std::vector<HeatSensitiveItem> battery = {{"battery", "battery", {{c(50), 0.0, ExposureScope::bake}}, {}}};
    const BakeVerdict bake = judge_bake(set, one_row_clear(), battery, {"roof", "left sill"});
    CHECK(bake.zones[0].zone == "left sill");
    CHECK(bake.zones[0].word == Word::not_judged);
    CHECK(bake.zones[0].why_not == NotJudged::no_trace);
    CHECK(bake.items[0].why_not == NotJudged::no_trace);
    CHECK(bake.worst() == Word::not_judged);
    CHECK(judge_bake(TraceSet{}, one_row_clear(), {}).worst() == Word::not_judged);
}

TEST_CASE("a name that belongs to an item or the air is no coated zone") {
    CHECK(judge_bake(van(), one_row_clear(), {}, {"booth air"}).zones[0].why_not == NotJudged::no_trace);
}

TEST_CASE("a sheet that means booth air is judged on the booth air, peaks stay the zone's own") {
    Coating coating = one_row_clear();
    coating.basis = ScheduleBasis::booth_air;
    coating.absolute_maximum_k = c(67.0);
    const BakeVerdict bake = judge_bake(van(), coating, {}, {"left sill", "roof"});
    for (const ZoneVerdict& verdict : bake.zones) CHECK(verdict.word == Word::good);  // the air itself is hotter than 67 degC
    CHECK(bake.zones[0].dose.at_value == bake.zones[1].dose.at_value);
    CHECK(std::max(bake.zones[0].peak_temperature_k, bake.zones[1].peak_temperature_k) == c(66));
    CHECK(has_remark(bake, "booth air"));
    TraceSet without_air = van();
    without_air.traces.erase(without_air.traces.begin());
    CHECK(judge_bake(without_air, coating, {}, {"roof"}).zones[0].why_not == NotJudged::no_booth_air);
}

TEST_CASE("a sheet that does not say what it means is judged as part temperature, and that is remarked") {
    Coating coating = one_row_clear();
    coating.basis = ScheduleBasis::not_stated;
    const BakeVerdict bake = judge_bake(van(), coating, {}, kCoated);
    CHECK(has_remark(bake, "does not say"));
    CHECK(!has_remark(judge_bake(van(), one_row_clear(), {}, kCoated), "does not say"));
}

TEST_CASE("a test panel is judged like a zone, and what it does not prove is remarked") {
    CHECK(has_remark(judge_bake(van(), one_row_clear(), {}, kCoated), "does not prove the shell"));
    CHECK(!has_remark(judge_bake(van(), one_row_clear(), {}, {"roof"}), "does not prove the shell"));
}

TEST_CASE("heat before the flash-off is over is heated too soon, after its end too late") {
    Coating coating = one_row_clear();
    const auto warnings = [&](double least_min, std::optional<double> most_min) {
        coating.flash_off_minimum_s = min(least_min);
        if (most_min) coating.flash_off_maximum_s = min(*most_min);
        return judge_bake(van(), coating, {}, kCoated).warnings;
    };
    CHECK(warnings(10.0, {}).empty());  // the air starts to rise at 10 min
    const auto soon = warnings(15.0, {});
    REQUIRE(soon.size() == 1);
    CHECK(soon[0].kind == HeatWarningKind::heated_too_soon);
    CHECK(std::abs(soon[0].found - min(10.0)) <= 1e-6);
    const auto late = warnings(2.0, 8.0);
    REQUIRE(late.size() == 1);
    CHECK(late[0].kind == HeatWarningKind::heated_too_late);
}

TEST_CASE("a zone that rises faster than the sheet allows is heated too fast, the steepest first") {
    // Rises in 15 min from 10 min on: roof 46 K (3.07 K/min), side 41 K (2.73), rocker 33 K (2.20), left sill 28 K (1.87).
    Coating coating = one_row_clear();
    coating.largest_heating_rate_k_per_s = 2.5 / 60.0;
    const BakeVerdict bake = judge_bake(van(), coating, {}, {"roof", "left sill", "side", "rocker"});
    REQUIRE(bake.warnings.size() == 2);
    CHECK(bake.warnings[0].where == "roof");
    CHECK(bake.warnings[1].where == "side");
    CHECK(std::abs(bake.warnings[0].found - 46.0 / min(15)) <= 1e-9);
    CHECK(bake.warnings[0].at_s >= min(10));
}

TEST_CASE("a fast rise after the schedule was reached is no warning") {
    Coating coating = one_row_clear();
    coating.largest_heating_rate_k_per_s = 2.5 / 60.0;
    TraceSet set;
    set.traces = {trace_of({{0, 20}, {40, 60}, {70, 60}, {75, 80}, {90, 20}}, "roof")};
    CHECK(judge_bake(set, coating, {}).warnings.empty());
}

TEST_CASE("the time from heat to cure is counted from the booth air's rise") {
    const BakeVerdict bake = judge_bake(van(), one_row_clear(), {}, {"side"});
    REQUIRE(bake.heat_on_s);
    CHECK(std::abs(*bake.heat_on_s - min(10)) <= 1e-6);
    CHECK(std::abs(*bake.zones[0].heat_to_cure_s - (*bake.zones[0].cured_at_s - min(10))) <= 1e-6);
}

TEST_CASE("words rank over, under, check, not judged, good") {
    BakeVerdict bake;
    const auto with = [&](Word word) {
        ZoneVerdict zone_verdict;
        zone_verdict.word = word;
        bake.zones.push_back(zone_verdict);
        return bake.worst();
    };
    CHECK(with(Word::good) == Word::good);
    CHECK(with(Word::not_judged) == Word::not_judged);
    CHECK(with(Word::check) == Word::check);
    CHECK(with(Word::under) == Word::under);
    CHECK(with(Word::over) == Word::over);
    CHECK(with(Word::good) == Word::over);
}

TEST_CASE("every zone's dose stands beside the panel's") {
    TraceSet set;
    set.traces = {trace_of({{0, 60}, {40, 60}}, "panel", TraceRole::test_panel), trace_of({{0, 60}, {30, 60}}, "roof"),
                  trace_of({{0, 60}, {10, 60}}, "sill")};
    const BakeVerdict bake = judge_bake(set, one_row_clear(), {});
    for (const ZoneVerdict& zone : bake.zones) {
        CAPTURE(zone.zone);
        REQUIRE(zone.share_of_panel);
        const double expected = zone.zone == "panel" ? 1.0 : zone.zone == "roof" ? 0.75 : 0.25;
        CHECK(std::abs(*zone.share_of_panel - expected) <= 1e-12);
    }
    const auto said = std::any_of(bake.remarks.begin(), bake.remarks.end(), [](const Phrase& remark) {
        return remark.text().find("2 of 2 zones got less heat than the panel, 'sill' least with 25 %") != std::string::npos;
    });
    CHECK(said);
    set.traces.erase(set.traces.begin());
    CHECK(!judge_bake(set, one_row_clear(), {}).zones[0].share_of_panel);
}

TEST_CASE("a trace that stops while warm is told as a bake cut short, one that came down is not") {
    TraceSet set;
    set.traces = {trace_of({{0, 20}, {10, 60}, {22, 60}}, "roof")};
    const BakeVerdict cut = judge_bake(set, one_row_clear(), {});
    REQUIRE(cut.zones[0].ended_warm_at_k);
    CHECK(std::abs(*cut.zones[0].ended_warm_at_k - c(60)) <= 1e-9);
    CHECK(std::any_of(cut.remarks.begin(), cut.remarks.end(),
                      [](const Phrase& remark) { return remark.text().find("stop while still warm") != std::string::npos; }));
    set.traces = {trace_of({{0, 20}, {10, 60}, {22, 60}, {40, 30}}, "roof")};
    CHECK(!judge_bake(set, one_row_clear(), {}).zones[0].ended_warm_at_k);
}

namespace {

/// A bake whose numbers are read as degrees Celsius, whatever they were.
TraceSet read_as_celsius(double start, double hold) {
    TraceSet set;
    set.traces = {trace_of({{0, start}, {30, hold}, {70, hold}, {90, start}}, "roof"),
                  trace_of({{0, start + 1}, {30, hold - 4}, {70, hold - 3}, {90, start}}, "sill")};
    return set;
}

/// The same read as degrees Fahrenheit.
TraceSet read_as_fahrenheit(double start, double hold) {
    TraceSet set = read_as_celsius(0, 0);
    const double numbers[2][4] = {{start, hold, hold, start}, {start, hold - 4, hold - 3, start}};
    for (std::size_t t = 0; t < 2; ++t)
        for (std::size_t i = 0; i < 4; ++i) set.traces[t].temperature_k[i] = fahrenheit_to_kelvin(numbers[t][i]);
    return set;
}

}  // namespace

TEST_CASE("numbers of a Fahrenheit log read as Celsius are asked about") {
    CHECK(likely_other_unit(read_as_celsius(68, 140)) == LikelyUnit::fahrenheit_read_as_celsius);
    CHECK(likely_other_unit(read_as_celsius(55, 130)) == LikelyUnit::fahrenheit_read_as_celsius);
    CHECK(likely_other_unit(read_as_celsius(95, 165)) == LikelyUnit::fahrenheit_read_as_celsius);
}

TEST_CASE("numbers of a Celsius log read as Fahrenheit are asked about") {
    CHECK(likely_other_unit(read_as_fahrenheit(20, 60)) == LikelyUnit::celsius_read_as_fahrenheit);
    CHECK(likely_other_unit(read_as_fahrenheit(8, 75)) == LikelyUnit::celsius_read_as_fahrenheit);
}

TEST_CASE("a plausible bake, a warm start, a cold booth and an oven of another trade are not asked about") {
    CHECK(!likely_other_unit(read_as_celsius(20, 60)));
    CHECK(!likely_other_unit(read_as_fahrenheit(68, 140)));
    CHECK(!likely_other_unit(read_as_celsius(45, 62)));   // goes on from a bake before
    CHECK(!likely_other_unit(read_as_celsius(20, 200)));  // plausible in neither unit
    CHECK(!likely_other_unit(read_as_celsius(18, 24)));   // the burner never came on: in Fahrenheit it would be frost
    CHECK(!likely_other_unit(TraceSet{}));
}

TEST_CASE("a verdict on such a log carries the question, and is not good while it stands") {
    const BakeVerdict asked = judge_bake(read_as_celsius(68, 140), one_row_clear(), {});
    REQUIRE(asked.questions.size() == 1);
    CHECK(asked.questions[0].find("Fahrenheit") != std::string::npos);
    CHECK(judge_bake(read_as_celsius(20, 65), one_row_clear(), {}).questions.empty());
}
