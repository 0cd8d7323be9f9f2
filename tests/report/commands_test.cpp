// SPDX-License-Identifier: Apache-2.0
// What commands print beside the records: plans, logs, the book's lists.

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "bakewright/base/units.hpp"
#include "bakewright/report/answers.hpp"
#include "bakewright/report/book_text.hpp"
#include "bakewright/report/booth_text.hpp"
#include "bakewright/report/comparison_text.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/plan_text.hpp"
#include "bakewright/report/tables.hpp"
#include "bakewright/report/titles.hpp"
#include "bakewright/report/tune_text.hpp"
#include "sample_report.hpp"

using namespace bakewright;
using namespace bakewright::report;
using nlohmann::json;

namespace {

/// Two set points, invented: the cooler leaves a zone short, the hotter spoils an item.
plan::Plan conflict() {
    plan::Plan plan;
    plan::Candidate cool;
    cool.setpoint_k = celsius_to_kelvin(55.0);
    cure::ZoneVerdict zone;
    zone.zone = "rocker";
    zone.word = cure::Word::under;
    cool.bad_zones = {zone};
    plan::Candidate hot;
    hot.setpoint_k = celsius_to_kelvin(70.0);
    hot.hold_s = 1800.0;
    cure::ItemVerdict item;
    item.item = "battery";
    item.word = cure::Word::over;
    hot.bad_items = {item};
    plan.candidates = {cool, hot};
    plan.hottest_that_spares = 0;
    plan.coolest_that_cures = 1;
    return plan;
}

bool holds(const std::string& text, const char* part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("a plan without an answer names both sides of the conflict, each at its set point") {
    const std::string text = plan_answer(conflict(), {}, Checklist(), {}).text("all");
    CHECK(holds(text, "No cycle works"));
    const std::string sentences = conflict_sentences(conflict(), {});
    CHECK(holds(sentences, "70 °C with a hold of 30 min. There: battery"));
    CHECK(holds(sentences, "nothing gets too hot is 55 °C. There: rocker"));
    CHECK(holds(text, "UNDER rocker"));
    CHECK(holds(text, "OVER battery"));
}

TEST_CASE("a plan is told by titles of zones and items wherever it names them") {
    const Titles titles = {{"rocker", "rocker panels"}, {"battery", "lithium battery"}, {"roof_skin", "roof"}};
    plan::Plan by_name = conflict();
    plan::CoatOverBaked coat;
    coat.coat = "primer";
    coat.zone = "roof_skin";
    by_name.candidates[1].bad_coats = {coat};
    by_name.candidates[1].warnings = {{cure::HeatWarningKind::heated_too_soon, "roof_skin", {}, {}, {}, {}}};
    by_name.candidates[1].difference = plan::LargestDifference{{"rocker", "roof_skin"}, 12.0, 600.0};
    by_name.chosen = by_name.candidates[1];
    by_name.choices = {{plan::Objective::time, by_name.candidates[0]}};
    by_name.difference = by_name.candidates[1].difference;
    by_name.margins = {{{"rocker", 1.0, {}}}, {{"battery", 2.0}}, {{"primer", "roof_skin", 3.0}}};
    by_name.slowest_zone = "rocker";
    by_name.likeliest_obstacle = Phrase("primer on ").add_place("roof_skin");
    by_name.probe_places.emplace();
    by_name.probe_places->places = {{.zone = "rocker", .share = 0.5},
                                    {.zone = "battery", .reason = plan::PlaceReason::weakest_item}};
    const plan::Plan plan = titled(by_name, titles);
    const std::string sentences = conflict_sentences(plan, {});
    CHECK(holds(sentences, "There: lithium battery"));
    CHECK(holds(sentences, "There: rocker panels"));
    CHECK(holds(sentences, "primer on roof:"));
    CHECK(plan.likeliest_obstacle->text() == "primer on roof");
    for (const bool feasible : {false, true}) {
        plan::Plan shown = plan;
        shown.feasible = feasible;
        const std::string text = json_text(document_of(shown));
        for (const char* name : {"\"rocker\"", "\"battery\"", "roof_skin"}) CHECK_FALSE(holds(text, name));
    }
    CHECK(conflict_sentences(titled(conflict(), {}), {}) == conflict_sentences(conflict(), {}));
}

TEST_CASE("a zone that is called like a word of the program gets its title where it is meant, and nowhere else") {
    const Titles titles = {{"film", "inner skin"}, {"zone", "floor"}};
    tune::TuneResult by_name;
    tune::TunedNumber number;
    number.name = Phrase("air on zone ").add_place("film");
    by_name.numbers = {number};
    by_name.weak = {Phrase(number.name).add(" against air on group film")};
    by_name.correlated = {{number.name, Phrase("link ").add_place("film").add(" ").add_place("zone"), 0.9}};
    by_name.warnings = {Phrase("the logs say next to nothing of ").add(number.name)};
    const tune::TuneResult result = titled(by_name, titles);
    CHECK(result.numbers[0].name.text() == "air on zone inner skin");
    CHECK(untold_sentences(result)[0] ==
          "air on zone inner skin against air on group film: the priors say more than the logs do.");
    CHECK(holds(untold_sentences(result)[1], "air on zone inner skin and link inner skin floor move together"));
    CHECK(result.warnings[0].text() == "the logs say next to nothing of air on zone inner skin");

    cure::BakeVerdict verdict;
    verdict.remarks = {"a film is not a zone", Phrase("the zone '").add_place("film").add("' least")};
    const cure::BakeVerdict shown = titled(verdict, titles);
    CHECK(shown.remarks[0].text() == "a film is not a zone");
    CHECK(shown.remarks[1].text() == "the zone 'inner skin' least");
}

TEST_CASE("a plan without an answer is JSON with null for what there is not") {
    const json read = json::parse(json_text(document_of(conflict())));
    CHECK(read["format"] == "bakewright.plan");
    CHECK(read["feasible"] == false);
    CHECK(read["best"].is_null());
    CHECK(read["verdict"].is_null());
    CHECK(read["candidates"][0]["hold_s"].is_null());
    CHECK(read["candidates"][1]["hold_s"] == 1800.0);
    CHECK(read["candidates"][1]["items_not_good"][0]["item"] == "battery");
}

TEST_CASE("a value is put behind the head of a document, and nothing is lost") {
    const Json document = document_of(conflict());
    Json kept = document;
    put_first(kept, "bake", 12);
    CHECK(kept["bake"] == 12);
    CHECK(std::next(kept.begin(), 2).key() == "bake");
    kept.erase("bake");
    CHECK(kept == document);
}

TEST_CASE("a list of bakes says how many more there are and keeps a hostile title on one line") {
    book::BakeSummary bake;
    bake.id = book::BakeId{7};
    bake.created_at = "2026-03-07T14:05:09Z";
    bake.title = "clear\n\x1b[31mred";
    const std::string text = bake_list_text({bake}, 3, {});
    CHECK(holds(text, "2026-03-07 14:05"));
    CHECK(holds(text, "1 of 3 bakes"));
    CHECK(!holds(text, "\x1b"));
    CHECK(holds(bake_list_text({}, 0, {}), "holds no such bake"));
}

TEST_CASE("a zone table without a cycle has no column for arriving at a hold") {
    TraceSet traces;
    traces.traces = {{"skin", TraceRole::zone, {0.0, 60.0, 120.0}, {293.15, 300.15, 310.15}, {}}};
    const std::string replay = zone_table(traces, {}, {}).text();
    CHECK(!holds(replay, "Reaches"));
    CHECK(!holds(replay, "n/a"));
    const bake::ResolvedStage hold{bake::StageKind::hold, 0.0, 120.0, celsius_to_kelvin(40.0), celsius_to_kelvin(40.0), 0};
    CHECK(holds(zone_table(traces, {hold}, {}).text(), "Reaches 35 °C"));
}

TEST_CASE("an agreement names the channels that are apart, how far beyond, and what that rests on") {
    const Table table = agreement_table(sample::agreement(), {});
    CHECK(table.rows()[0].cells[1].text == "77");  // 601 of 772, rounded down
    CHECK(table.rows()[0].cells[1].mark == Mark::strong);
    CHECK(table.rows()[0].cells[6].text == "1.3");
    CHECK(table.rows()[0].cells[7].text == "0:27");
    CHECK(table.rows()[1].cells[1].text == "99");  // all but one is not 100
    CHECK(table.rows()[1].cells[1].mark == Mark::none);
    const std::string text = agreement_text(sample::agreement(), {});
    CHECK(holds(text, "1 of 2 channels agree within what probe and model may be off. Not: left sill."));
    CHECK(holds(text, "errs by up to 0.12 K"));
    CHECK(holds(text, "Probes: invented probes."));
    tune::Agreement all = sample::agreement();
    all.channels[0].inside = 772;
    CHECK(holds(agreement_text(all, {}), "All 2 channels agree"));
    CHECK(agreement_table(all, {}).rows()[0].cells[6].text == "none");
    const Json read = json_of(all);
    CHECK(read["channels"][0]["largest_excess_at_s"].is_null());
    CHECK(read["channels"][1]["largest_excess_k"] == -0.2);
    CHECK(read["model"] == "an invented ensemble");
}

TEST_CASE("verdicts stand side by side, marked where their words differ") {
    cure::BakeVerdict predicted = sample::verdict();
    predicted.zones[1].word = cure::Word::good;
    predicted.zones.pop_back();
    const Table table = verdict_pair_table(predicted, sample::verdict(), {});
    CHECK(table.rows().size() == sample::verdict().zones.size() + sample::verdict().items.size());
    CHECK(table.rows()[1].cells[1].text == "GOOD");
    CHECK(table.rows()[1].cells[2].text == "UNDER");
    CHECK(table.rows()[1].cells[2].mark == Mark::strong);
    CHECK(table.rows()[3].cells[1].text == "n/a");
}

TEST_CASE("a drift is a plain sentence in the user's degrees, with its range; none is said too") {
    constexpr double kMonth_s = 365.25 * 24.0 * 3600.0 / 12.0;
    tune::BoothTrend trend;
    trend.bakes = {{"bake 3", "2027-01-12", 0.0, -0.8, {{"upright", 4, 1.0, 60.0}}},
                   {"bake\x1b 4", "2027-02-12", kMonth_s, {}, {}}};
    trend.trends = {{tune::Trend::Of::air, "", 6, -2.0, {-0.8 / kMonth_s, -1.1 / kMonth_s, -0.5 / kMonth_s, 0.003}, -4.0, true},
                    {tune::Trend::Of::bias, "upright", 3, 1.0, {0.1 / kMonth_s, {}, {}, 0.3}, 0.5, false}};
    CHECK(trend_sentences(trend, {}) ==
          std::vector<std::string>{
              "The air ran 0.80 K colder against its set point each month (0.50 K to 1.10 K in 19 of 20 cases), "
              "over 6 bakes."});
    CHECK(holds(trend_sentences(trend, *units_from_name("us"))[0], "1.44 °F colder"));
    const std::string text = trend_text(trend, {});
    CHECK(holds(text, "too few bakes"));
    CHECK(!holds(text, "\x1b"));
    const json read = json::parse(json_text(document_of(trend)));
    CHECK(read["format"] == "bakewright.trend");
    CHECK(std::abs(read["trends"][0]["per_month_low"].get<double>() + 1.1) <= 1e-12);
    CHECK(read["trends"][1]["per_month_low"].is_null());
    CHECK(read["trends"][1]["group"] == "upright");
    CHECK(read["bakes"][1]["air_offset_k"].is_null());
    trend.trends[0].is_told = false;
    CHECK(trend_sentences(trend, {})[0].find("No drift shows") == 0);
}
