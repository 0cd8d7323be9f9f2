// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/tables.hpp"

#include <doctest/doctest.h>

#include <limits>

#include "bakewright/cure/judge.hpp"
#include "bakewright/cure/reason.hpp"
#include "bakewright/report/checklist.hpp"
#include "bakewright/report/comparison_text.hpp"
#include "bakewright/report/plain_text.hpp"
#include "bakewright/report/text.hpp"
#include "report/lines.hpp"
#include "report/sample_report.hpp"

using namespace bakewright;
using namespace bakewright::report;

namespace {

const Units kUs = *units_from_name("us");

}  // namespace

TEST_CASE("verdicts stand worst first, each with its word, its numbers and its reason") {
    const Table table = verdict_table(sample::verdict(), {});
    REQUIRE(table.rows().size() == 4);
    CHECK(table.rows()[0].cells[0].text == "left sill");
    CHECK(table.rows()[0].cells[1].text == "UNDER");
    CHECK(table.rows()[0].cells[1].mark == Mark::alarm);
    CHECK(table.rows()[0].cells[2].text == "11 to 19 of 35");
    CHECK(table.rows()[0].cells[3].text == "0 of 35 at 60 °C");
    CHECK(table.rows()[0].note == as_sentence(cure::reason_text(sample::verdict().zones[1], {})));
    CHECK(table.rows()[1].cells[1].text == "CHECK");
    CHECK(table.rows()[2].cells[1].text == "NOT JUDGED");
    CHECK(table.rows()[2].cells[4].text == "n/a");
    CHECK(table.rows()[3].cells[1].text == "GOOD");
    CHECK(table.rows()[3].cells[1].mark == Mark::calm);
}

TEST_CASE("over-baked stands before under-cured") {
    cure::BakeVerdict verdict = sample::verdict();
    verdict.zones[0].word = cure::Word::over;
    CHECK(verdict_table(verdict, {}).rows()[0].cells[1].text == "OVER");
}

TEST_CASE("the longest stay is told for the schedule row that is nearest to being met") {
    cure::BakeVerdict verdict = sample::verdict();
    cure::RowReading hotter = verdict.zones[0].rows[0];
    hotter.row = {.temperature_k = celsius_to_kelvin(80.0), .minimum_s = 900.0, .maximum_s = {}};
    hotter.longest_stay_s = 600.0;
    hotter.missing_s = 300.0;
    verdict.zones = {verdict.zones[1]};
    verdict.zones[0].rows.push_back(hotter);
    CHECK(verdict_table(verdict, {}).rows()[0].cells[3].text == "10 of 15 at 80 °C");
}

TEST_CASE("the worst place is one sentence, and says so when all is well") {
    const std::string reason = as_sentence(cure::reason_text(sample::verdict().zones[1], kUs));
    CHECK(reason.find("140 °F") != std::string::npos);
    CHECK(worst_place_sentence(sample::verdict(), kUs) == "UNDER: left sill. " + reason);
    cure::BakeVerdict good = sample::verdict();
    good.zones = {good.zones[0]};
    good.items.clear();
    CHECK(worst_place_sentence(good, {}).starts_with("GOOD"));
    CHECK(worst_place_sentence({}, {}).starts_with("NOT JUDGED"));
}

TEST_CASE("heads carry the user's unit and differences convert without the 32") {
    const Table zones = zone_table(sample::predicted(), sample::stages(), kUs);
    CHECK(zones.columns()[2].head == "Peak\n°F");
    CHECK(zones.columns()[4].head == "Reaches 140 °F\nh:mm");
    CHECK(zones.columns()[5].head == "Fastest rise\n°F/min");
    const Table channels = comparison_table(sample::comparison(), kUs);
    CHECK(channels.columns()[2].head == "Bias\n°F");
    CHECK(channels.rows()[0].cells[2].text == "4.2");  // 2.31 K
    CHECK(comparison_table(sample::comparison(), {}).rows()[0].cells[2].text == "2.3");
}

TEST_CASE("a lag that could not be told is not a number") {
    CHECK(comparison_table(sample::comparison(), {}).rows()[0].cells[6].text == "1.6");
    CHECK(comparison_table(sample::comparison(), {}).rows()[1].cells[6].text == "n/a");
}

TEST_CASE("a zone that never arrives says never, one without samples n/a") {
    TraceSet traces = sample::predicted();
    for (double& temperature_k : traces.traces[2].temperature_k) temperature_k = std::numeric_limits<double>::quiet_NaN();
    const Table table = zone_table(traces, sample::stages(), {});
    for (const Table::Row& row : table.rows()) {
        if (row.cells[0].text == "left sill") CHECK(row.cells[4].text == "never");
        if (row.cells[0].text == "roof skin") CHECK(row.cells[2].text == "n/a");
    }
    CHECK(table.text().find("nan") == std::string::npos);
}

TEST_CASE("a cycle is told in minutes and by the clock once its start is known") {
    const Table table = cycle_table(sample::stages(), {}, "2026-03-04T17:25");
    CHECK(table.rows()[0].cells[0].text == "flash-off");
    CHECK(table.rows()[1].cells[1].text == "20 to 65");
    CHECK(table.rows()[2].cells[2].text == "45");
    CHECK(table.rows()[2].cells[4].text == "1:15");
    CHECK(table.rows()[2].cells[5].text == "18:40");
    CHECK(cycle_table(sample::stages(), {}).columns().size() == 5);
    std::vector<bake::ResolvedStage> opened = sample::stages();
    opened.back().door_open_s = 120.0;
    CHECK(cycle_table(opened, {}).rows().size() == cycle_table(sample::stages(), {}).rows().size() + 1);
}

TEST_CASE("an item says how long it was at each limit and what is allowed") {
    const Table table = item_table(sample::verdict(), {});
    CHECK(table.rows()[0].cells[4].text == "0 min at 50 °C, allowed none; 18 of 120 min at 40 °C (lifetime)");
}

TEST_CASE("every text keeps within 80 columns, and within less when asked") {
    for (const std::size_t width : {72U, 80U, 100U})
        for (const Units units : {Units{}, kUs}) {
            const TextOptions options{.units = units, .style = {.width = width, .ansi = false}};
            CAPTURE(width);
            CHECK(widest_line(prediction_text(sample::prediction(), options)) <= width);
            CHECK(widest_line(verdict_text(sample::verdict(), options)) <= width);
            CHECK(widest_line(comparison_text(sample::comparison(), options)) <= width);
            CHECK(widest_line(agreement_text(sample::agreement(), options)) <= width);
            CHECK(widest_line(verdict_pair_text(sample::verdict(), sample::verdict(), options)) <= width);
            CHECK(widest_line(cautions_text(options)) <= width);
        }
}

TEST_CASE("a real judgement of the sample bake renders with a sentence for every zone and item") {
    const cure::HeatSensitiveItem seats{.name = "reading-corner seats",
                                        .title = "seats",
                                        .limits = {{.temperature_k = celsius_to_kelvin(50.0), .allowed_s = 0.0}},
                                        .sources = {}};
    const cure::BakeVerdict judged = cure::judge_bake(sample::logged(), sample::coating(), {seats});
    const Table zones = verdict_table(judged, {});
    CHECK(zones.rows().size() == judged.zones.size());
    for (const Table::Row& row : zones.rows()) CHECK(row.note.size() > 20);
    CHECK(item_table(judged, {}).rows().size() == 1);
    CHECK(verdict_text(judged, {}).find("left sill") != std::string::npos);
}

TEST_CASE("a verdict text names the worst place before its tables") {
    const std::string text = verdict_text(sample::verdict(), {});
    CHECK(text.starts_with("UNDER: left sill."));
    CHECK(text.find("reading-corner seats") != std::string::npos);
    CHECK(text.find("55 kJ/mol (30 to 75), default band") != std::string::npos);
    CHECK(text.find("Earlier coats are baked again; their share is not in these numbers.") != std::string::npos);
    CHECK(text.find("- Heated too fast: roof skin rose by ") != std::string::npos);
}

TEST_CASE("zones split through their thickness and channels without a partner are told") {
    CHECK(prediction_text(sample::prediction(), {})
              .find("front cap: computed in 4 layers through its thickness, Biot number 0.31") != std::string::npos);
    CHECK(comparison_text(sample::comparison(), {}).find("Predicted but not logged: booth wall, saloon air.") !=
          std::string::npos);
}

TEST_CASE("the cautions name every hazard that must be on a report") {
    std::string all;
    for (const Caution& caution : cautions()) all += std::string(caution.text) + '\n';
    for (const char* word : {"data sheet wins", "Local code", "Nobody is inside", "Purge", "shorter flash-off", "No vapour limit",
                             "LP-gas", "pressurised tanks", "aerosols", "extinguishers", "batteries", "airbags", "supplied air",
                             "burns", "controls nothing", "proves nothing safe"}) {
        CAPTURE(word);
        CHECK(all.find(word) != std::string::npos);
    }
}

TEST_CASE("zones that are too close to call are told with what would settle them, the sure ones counted") {
    cure::BakeVerdict verdict;
    verdict.uncertainty_origin = "a test";
    verdict.standard_uncertainty_k = 1.4;
    for (const char* name : {"roof", "sill"}) {
        cure::ZoneVerdict zone;
        zone.zone = name;
        zone.word = cure::Word::good;
        verdict.zones.push_back(zone);
    }
    verdict.zones[0].certainty = cure::Certainty{{0.01, 0.98, 0.01}, cure::Word::good, 0.98, false, {}, 0.0, {}};
    verdict.zones[1].certainty = cure::Certainty{{0.3, 0.7, 0.0}, cure::Word::good, 0.7, true, 360.0, 335.45, 0.5};
    const std::vector<std::string> said = report::certainty_sentences(verdict, Units{});
    REQUIRE(said.size() == 3);
    CHECK(said[0] ==
          "sill: too close to call: best guess GOOD, 70 % sure; what would settle it: 6.0 min more at or above 62.3 °C by this "
          "reading, or a probe of standard uncertainty 0.5 K.");
    CHECK(said[1] == "1 of 2 zones is sure, the least sure of them 98 %.");
    CHECK(said[2].find("Calculated with a test: standard uncertainty 1.4 K") == 0);
    CHECK(report::certainty_sentences(cure::BakeVerdict{}, Units{}).empty());
}
