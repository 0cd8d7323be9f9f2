// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/history.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/judge.hpp"
#include "bakewright/cure/judge_history.hpp"
#include "bakewright/cure/reason.hpp"
#include "history_shop.hpp"

using namespace bakewright;
using namespace bakewright::cure;
using namespace bakewright::cure::test;

namespace {

const CoatVerdict& of(const ShellVerdict& verdict, const std::string& coat, const std::string& zone) {
    for (const CoatVerdict& found : verdict.coats)
        if (found.coat == coat && found.total.zone == zone) return found;
    throw PromiseError("a coat of the test is judged");
}

std::string keys(const ShellHistory& history) {
    std::string all;
    for (const Problem& problem : problems_in(history)) all += problem.key + " ";
    return all;
}

}  // namespace

TEST_CASE("one coat in one bake is judged as judge_zone judges it") {
    const TraceSet bake = bake_of({{"roof", 61}, {"sill", 50}}, 35);
    ShellHistory history;
    history.coats = {coat("clear", one_row_clear(), {"roof", "sill"}, 0)};
    history.bakes = {logged("bake 1", 1, bake)};
    const ShellVerdict verdict = judge_history(history);
    for (const char* zone : {"roof", "sill"}) {
        CAPTURE(zone);
        const ZoneVerdict alone = judge_zone(*bake.find(zone), one_row_clear());
        const ZoneVerdict& total = of(verdict, "clear", zone).total;
        CHECK(total.word == alone.word);
        CHECK(std::abs(total.dose.at_value - alone.dose.at_value) <= 1e-12);
        CHECK(total.rows[0].longest_stay_s == alone.rows[0].longest_stay_s);
        CHECK(total.reason == alone.reason);
    }
    CHECK(verdict.coats[0].total.zone == "sill");  // the worst first
    CHECK(of(verdict, "clear", "roof").cured_in == 0);
    CHECK(of(verdict, "clear", "roof").reason.find("cured in bake 1") == 0);
}

TEST_CASE("a later bake adds its dose to every coat on the zone, but two short stays are CHECK at most") {
    // Two bakes of 20 min at 60 degC are 40 of 30 min by dose, and no stay of 30.
    Coating sheet = one_row_clear();
    sheet.activation_energy = ActivationEnergy{55e3, 55e3, 55e3};
    const TraceSet bake = bake_of({{"roof", 60}}, 20);
    ShellHistory history;
    history.coats = {coat("group 1", sheet, {"roof"}, 0), coat("group 2", sheet, {"roof"}, 10)};
    history.bakes = {logged("bake 1", 1, bake), logged("bake 2", 11, bake)};
    const ShellVerdict verdict = judge_history(history);
    const CoatVerdict& first = of(verdict, "group 1", "roof");
    const CoatVerdict& second = of(verdict, "group 2", "roof");
    CHECK(std::abs(first.total.dose.at_value - 2.0 * second.total.dose.at_value) <= 1e-12);
    CHECK(first.total.word == Word::check);
    CHECK(!first.cured_in);
    CHECK(first.shares.size() == 2);
    CHECK(first.shares[0].word_after == Word::under);
    CHECK(first.covered_by == "group 2");
    CHECK(second.total.word == Word::under);
    CHECK(second.shares.size() == 1);
    CHECK(second.covered_by.empty());
    // The sheet's own terms ask for one unbroken stay: it does not grow.
    CHECK(first.total.rows[0].longest_stay_s == second.total.rows[0].longest_stay_s);
    CHECK(std::abs(first.total.rows[0].total_s - 2.0 * second.total.rows[0].total_s) <= 1e-9);
}

TEST_CASE("a coat past its maximum only through later bakes says since when") {
    const TraceSet bake = bake_of({{"roof", 60}}, 40);
    ShellHistory history;
    history.coats = {coat("primer", two_row_clear(), {"roof"}, 0)};  // 30 to 90 min at 60 degC
    for (int i = 0; i < 4; ++i) history.bakes.push_back(logged("bake " + std::to_string(i + 1), 1.0 + 24.0 * i, bake));
    const CoatVerdict primer = judge_history(history).coats[0];
    CHECK(primer.cured_in == 0);
    CHECK(primer.shares[0].word_after == Word::good);
    CHECK(primer.total.word == Word::over);
    REQUIRE(primer.over_since);
    CHECK(*primer.over_since == 2);
    CHECK(primer.reason.find("cured in bake 1, past its maximum since bake 3") == 0);
}

TEST_CASE("a removed panel baked apart gets its own bakes and no others") {
    const TraceSet shell = bake_of({{"roof", 61}, {"door", 61}}, 35);
    const TraceSet apart = bake_of({{"door", 61}}, 35);
    ShellHistory history;
    history.coats = {coat("clear", one_row_clear(), {"roof", "door"}, 0)};
    history.bakes = {logged("shell", 1, shell), logged("door apart", 1.5, apart), logged("both", 30, shell)};
    history.bakes[0].zones = {"roof"};  // the door was off, whatever a probe hung where it was has logged
    history.bakes[1].zones = {"door"};
    const ShellVerdict verdict = judge_history(history);
    CHECK(of(verdict, "clear", "roof").shares.size() == 2);
    CHECK(of(verdict, "clear", "door").shares.size() == 2);
    CHECK(of(verdict, "clear", "door").shares[0].bake == 1);
    CHECK(of(verdict, "clear", "door").cured_in == 1);
}

TEST_CASE("a bake before a coat was sprayed gives it nothing") {
    const TraceSet bake = bake_of({{"roof", 61}}, 35);
    ShellHistory history;
    history.coats = {coat("clear", one_row_clear(), {"roof"}, 5)};
    history.bakes = {logged("bake 1", 1, bake)};
    const ShellVerdict verdict = judge_history(history);
    CHECK(verdict.coats[0].shares.empty());
    CHECK(verdict.coats[0].total.word == Word::under);
    CHECK(verdict.coats[0].reason == "has been in no bake yet");
}

TEST_CASE("where a bake was logged the log counts, zone by zone, and the report says what did not come from it") {
    const TraceSet log = bake_of({{"roof", 50}}, 35);
    const TraceSet prediction = bake_of({{"roof", 61}, {"sill", 61}}, 35);
    ShellHistory history;
    history.coats = {coat("clear", one_row_clear(), {"roof", "sill"}, 0)};
    history.bakes = {logged("bake 1", 1, log)};
    history.bakes[0].prediction = &prediction;
    const ShellVerdict verdict = judge_history(history);
    CHECK(of(verdict, "clear", "roof").total.word == Word::under);
    CHECK(of(verdict, "clear", "roof").shares[0].source == TraceSource::log);
    CHECK(of(verdict, "clear", "sill").total.word == Word::good);
    CHECK(of(verdict, "clear", "sill").shares[0].source == TraceSource::prediction);
    CHECK(of(verdict, "clear", "sill").reason.find("not measured in bake 1 (predicted)") != std::string::npos);
}

TEST_CASE("a bake that nothing is known of on a zone leaves an UNDER open and a cure standing") {
    const TraceSet with = bake_of({{"roof", 61}, {"sill", 50}}, 35);
    const TraceSet without = bake_of({{"other", 61}}, 35);
    ShellHistory history;
    history.coats = {coat("clear", one_row_clear(), {"roof", "sill"}, 0)};
    history.bakes = {logged("bake 1", 1, with), logged("bake 2", 24, without)};
    const ShellVerdict verdict = judge_history(history);
    CHECK(of(verdict, "clear", "roof").total.word == Word::good);
    CHECK(of(verdict, "clear", "sill").total.word == Word::check);
    CHECK(of(verdict, "clear", "sill").shares[1].source == TraceSource::nothing);
    CHECK(of(verdict, "clear", "sill").reason.find("bake 2 (not known)") != std::string::npos);
}

TEST_CASE("a broken bake is judged for what it gave, and the next one needs a whole stay") {
    // Cut after 12 of 30 min at 60 degC: 18 min more in one go would have done; after a break 18 min do not.
    Coating sheet = one_row_clear();
    sheet.activation_energy = ActivationEnergy{55e3, 55e3, 55e3};
    TraceSet broken;
    broken.traces = {trace_of({{0, 60}, {12, 60}}, "roof")};
    ShellHistory history;
    history.coats = {coat("clear", sheet, {"roof"}, 0)};
    history.bakes = {logged("bake 1", 1, broken)};
    const CoatVerdict cut = judge_history(history).coats[0];
    CHECK(cut.total.word == Word::under);
    CHECK(cut.reason.find("hold 18.0 min longer") != std::string::npos);
    TraceSet rest;
    rest.traces = {trace_of({{0, 60}, {18, 60}}, "roof")};
    history.bakes.push_back(logged("bake 2", 4, rest));
    CHECK(judge_history(history).coats[0].total.word == Word::check);
    TraceSet whole;
    whole.traces = {trace_of({{0, 60}, {30, 60}}, "roof")};
    history.bakes.push_back(logged("bake 3", 8, whole));
    CHECK(judge_history(history).coats[0].total.word == Word::good);
}

TEST_CASE("the degree of cure goes on from bake to bake") {
    Coating sheet = one_row_clear();
    sheet.floor_k = c(45);
    sheet.kinetics = Kinetics{};
    sheet.kinetics->first = ArrheniusRate{3e-4 * std::exp(55e3 / kGasConstant / c(60.0)), 55e3};
    sheet.kinetics->order = 2.0;
    TraceSet half;
    half.traces = {trace_of({{0, 60}, {20, 60}}, "roof")};
    ShellHistory history;
    history.coats = {coat("clear", sheet, {"roof"}, 0)};
    history.bakes = {logged("bake 1", 1, half), logged("bake 2", 4, half)};
    // Second order, K = 3e-4 /s over 40 min: x = K / (1 + K).
    const double k = 3e-4 * min(40);
    CHECK(std::abs(judge_history(history).coats[0].total.conversion->conversion - k / (1.0 + k)) <= 1e-7);
}

TEST_CASE("exposure of an item adds up over the bakes it was aboard, once-limits take the worst bake") {
    const TraceSet bake = bake_of({{"seat", 52}}, 40, TraceRole::item);  // above 50 degC for 40 min and the flanks
    ShellHistory history;
    history.items = {
        {"seat", "leather", {{c(50), min(60), ExposureScope::bake}, {c(50), min(120), ExposureScope::lifetime}}, {}}};
    for (int i = 0; i < 4; ++i) history.bakes.push_back(logged("bake " + std::to_string(i + 1), 1.0 + 24.0 * i, bake));
    for (HistoryBake& one : history.bakes) one.items = {"seat"};
    history.bakes[1].items.clear();  // it was out
    const ShellVerdict verdict = judge_history(history, 1.0);
    REQUIRE(verdict.items.size() == 1);
    const ItemHistoryVerdict& seat = verdict.items[0];
    const double one_s = judge_item(*bake.find("seat"), history.items[0], 1.0).limits[0].exposed_s;
    CHECK(seat.aboard == std::vector<std::size_t>{0, 2, 3});
    CHECK(std::abs(seat.total.limits[0].exposed_s - one_s) <= 1e-9);
    CHECK(std::abs(seat.total.limits[1].exposed_s - 3.0 * one_s) <= 1e-9);
    CHECK(!seat.total.limits[0].passed);
    CHECK(seat.total.limits[1].passed);
    CHECK(seat.word_after[0] == Word::good);
    CHECK(seat.total.word == Word::over);
    CHECK(seat.passed_in == 3);
    CHECK(!seat.remove_before);
}

TEST_CASE("an item that a planned bake would spoil is named before it") {
    const TraceSet bake = bake_of({{"seat", 52}, {"screen", 40}}, 40, TraceRole::item);
    ShellHistory history;
    history.items = {{"seat", "leather", {{c(50), min(60), ExposureScope::lifetime}}, {}},
                     {"screen", "screen", {{c(60), 0.0, ExposureScope::bake}}, {}},
                     {"battery", "battery", {{c(50), 0.0, ExposureScope::bake}}, {}}};
    history.bakes = {logged("bake 1", 1, bake), logged("repair", 25, bake)};
    history.bakes[0].items = {"seat", "screen"};
    history.bakes[1].items = {"seat", "screen", "battery"};
    history.bakes[1].planned = true;
    const ShellVerdict verdict = judge_history(history, 1.0);
    const auto item = [&](const std::string& name) {
        return *std::find_if(verdict.items.begin(), verdict.items.end(),
                             [&](const auto& found) { return found.total.item == name; });
    };
    CHECK(item("seat").remove_before == 1);  // the second 40 min pass the lifetime's 60
    CHECK(item("seat").reason.find("take it out before repair, or bake cooler: ") == 0);
    CHECK(!item("screen").remove_before);
    CHECK(item("battery").remove_before == 1);  // nothing is predicted for it: nobody can say that it stays cool
    history.bakes[1].planned = false;
    CHECK(!judge_history(history, 1.0).items[0].remove_before);
}

TEST_CASE("a coat outside the recoat window of the one below is told, unless a bake or sanding made up for it") {
    Coating sheet = one_row_clear();
    sheet.recoat_minimum_s = min(4 * 60);
    sheet.recoat_maximum_s = min(24 * 60);
    const TraceSet bake = bake_of({{"roof", 61}}, 35);
    ShellHistory history;
    history.coats = {coat("primer", sheet, {"roof", "sill"}, 0), coat("base", one_row_clear(), {"roof"}, 2)};
    const ShellVerdict soon = judge_history(history);
    REQUIRE(soon.recoats.size() == 1);
    CHECK(soon.recoats[0].kind == RecoatWarningKind::recoated_too_soon);
    CHECK(soon.recoats[0].zones == std::vector<std::string>{"roof"});
    CHECK(soon.recoats[0].found_s == min(120));
    history.bakes = {logged("bake 1", 0.5, bake)};
    CHECK(judge_history(history).recoats.empty());
    history.coats[1].applied_at_s = 3600.0 * 48;
    REQUIRE(judge_history(history).recoats.size() == 1);
    CHECK(judge_history(history).recoats[0].kind == RecoatWarningKind::recoated_too_late);
    history.coats[0].sanded_at_s = 3600.0 * 47;
    CHECK(judge_history(history).recoats.empty());
}

TEST_CASE("flash-off of a coat counts from its spraying") {
    Coating sheet = one_row_clear();
    sheet.flash_off_minimum_s = min(20);
    TraceSet bake = bake_of({{"roof", 61}}, 35);
    bake.traces.push_back(
        trace_of({{0, 20}, {2, 20}, {20, 62}, {60, 62}}, "booth air", TraceRole::booth_air));  // heat after 2 min
    ShellHistory history;
    history.coats = {coat("clear", sheet, {"roof"}, 0)};
    history.bakes = {logged("bake 1", 0.1, bake)};  // begun 6 min after spraying
    const ShellVerdict verdict = judge_history(history);
    REQUIRE(verdict.heat_warnings.size() == 1);
    CHECK(verdict.heat_warnings[0].warning.kind == HeatWarningKind::heated_too_soon);
    CHECK(std::abs(verdict.heat_warnings[0].warning.found - min(8)) <= 15.0);
    history.bakes[0].began_at_s = 1800.0;
    CHECK(judge_history(history).heat_warnings.empty());
}

TEST_CASE("what cannot be in a history is refused by its key") {
    const TraceSet bake = bake_of({{"roof", 61}}, 35);
    ShellHistory history;
    history.coats = {coat("clear", one_row_clear(), {"roof"}, 0)};
    history.bakes = {logged("bake 1", 10, bake), logged("bake 2", 1, bake)};
    CHECK(keys(history) == "bake[1].began_at ");  // out of order
    history.bakes[1].began_at_s = history.bakes[0].began_at_s + 60.0;
    CHECK(keys(history) == "bake[1].began_at ");  // overlapping
    history.bakes[0].zones = {"roof"};
    history.bakes[1].zones = {"door"};
    CHECK(keys(history) == "");  // two booths at once: no zone in both
    history.bakes.pop_back();
    history.coats.push_back(coat("base", one_row_clear(), {"roof"}, 10.2));
    CHECK(keys(history) == "coat[1].applied_at ");  // sprayed during a bake
    history.coats.pop_back();
    history.coats.push_back(history.coats[0]);
    CHECK(keys(history) == "coat[1].zones ");  // twice
    history.coats.pop_back();
    history.coats[0].sanded_at_s = -5.0;
    CHECK(keys(history) == "coat[0].sanded_at ");
    history.coats[0].sanded_at_s.reset();
    history.coats[0].zones.clear();
    history.bakes[0].items = {"ghost"};
    history.bakes.push_back({});
    history.bakes.back().name = "empty";
    history.bakes.back().began_at_s = 1e6;
    CHECK(keys(history) == "coat[0].zones bake[0].items bake[1] ");
    CHECK_THROWS_AS((void)judge_history(history), InputError);
}

TEST_CASE("an empty history judges nothing") {
    const ShellVerdict verdict = judge_history({});
    CHECK(verdict.coats.empty());
    CHECK(verdict.worst() == Word::not_judged);
}
