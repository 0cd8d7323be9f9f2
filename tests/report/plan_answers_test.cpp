// SPDX-License-Identifier: Apache-2.0
// What a plan tells beside its cycle: the map of set point and hold, changes that would help, and what the burner does.

#include <doctest/doctest.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "bakewright/base/units.hpp"
#include "bakewright/report/booth_text.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/map_text.hpp"
#include "bakewright/report/plan_text.hpp"

using namespace bakewright;
using namespace bakewright::report;
using nlohmann::json;

// All numbers here are invented.

namespace {

bool holds(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

/// 60 degC does from 30 to 70 min; 70 degC is too hot at once.
plan::FeasibleMap two_rows() {
    plan::FeasibleMap map;
    map.hold_s = {1200.0, 2400.0, 3600.0, 4800.0};
    plan::MapRow cool;
    cool.setpoint_k = celsius_to_kelvin(60.0);
    cool.shortest_hold_s = 1790.0;
    cool.longest_hold_s = 4250.0;
    cool.last_to_cure = {"=rocker, left", cure::Word::under};
    cool.first_too_hot = plan::Obstacle{"battery", cure::Word::over};
    plan::MapRow hot = cool;
    hot.setpoint_k = celsius_to_kelvin(70.0);
    hot.shortest_hold_s = 600.0;
    hot.longest_hold_s.reset();
    map.rows = {cool, hot};
    return map;
}

bake::Prediction with_burner() {
    bake::Prediction prediction;
    bake::ResolvedStage ramp{bake::StageKind::ramp, 0.0, 600.0, celsius_to_kelvin(20.0), celsius_to_kelvin(60.0), 0};
    bake::ResolvedStage hold{bake::StageKind::hold, 600.0, 3600.0, celsius_to_kelvin(60.0), celsius_to_kelvin(60.0), 1};
    prediction.stages = {ramp, hold};
    Trace air{"booth air", TraceRole::booth_air, {0.0, 600.0, 1200.0, 3600.0}, {}, {}};
    for (const double c : {20.0, 50.0, 59.5, 60.0}) air.temperature_k.push_back(celsius_to_kelvin(c));
    prediction.traces.traces = {air};
    bake::BoothRun run;
    run.burner_j = 36e6;
    run.fresh_air_j = 18e6;
    run.wall_loss_j = 7.2e6;
    run.shell_j = 3.6e6;
    run.stored_j = 7.2e6;
    run.largest_power_w = 120e3;
    run.full_power_s = 900.0;
    prediction.summary.booth = run;
    return prediction;
}

}  // namespace

TEST_CASE("the map prints hot set points first, whole minutes inside the bounds, and one letter a hold") {
    const std::string text = map_text(two_rows(), {});
    CHECK(text.find("70") < text.find("60  "));
    CHECK(holds(text, "30 min to 1 h 10 min"));
    CHECK(holds(text, "all too hot"));
    CHECK(holds(text, "u++h"));
    CHECK(holds(text, "hhhh"));
}

TEST_CASE("the map's cells are CSV with the name of what is in the way of them, harmless to a spreadsheet") {
    const std::string csv = map_csv(two_rows(), {});
    CHECK(holds(csv, "60.0,20.0,under,\"'=rocker, left\",\n"));
    CHECK(holds(csv, "60.0,40.0,feasible,,\n"));
    CHECK(holds(csv, "70.0,20.0,hot,battery,\n"));
}

TEST_CASE("a cell that is not sure enough says so, with its chance") {
    plan::FeasibleMap map = two_rows();
    map.rows[0].chances.assign(map.hold_s.size(), std::nullopt);
    map.rows[0].obstacles.resize(map.hold_s.size());
    map.rows[0].chances[1] = 0.5;
    map.rows[0].confidence = 0.95;
    CHECK(holds(map_csv(map, {}), "60.0,40.0,unsure,,50.0\n"));
    std::string unwrapped = map_text(map, {});
    std::replace(unwrapped.begin(), unwrapped.end(), '\n', ' ');
    CHECK(holds(unwrapped, "~ works on best-guess values, but is less than 95 % sure"));
    const json read = json::parse(json_text(document_of(map)));
    CHECK(read["rows"][0]["chances"][1] == 0.5);
    CHECK(read["rows"][1]["chances"].is_null());
}

TEST_CASE("the map is JSON in SI units, null where there is no bound") {
    const json read = json::parse(json_text(document_of(two_rows())));
    CHECK(read["format"] == "bakewright.map");
    CHECK(read["rows"][0]["answers"] == json({"under", "feasible", "feasible", "hot"}));
    CHECK(read["rows"][0]["shortest_hold_s"] == 1790.0);
    CHECK(read["rows"][1]["longest_hold_s"].is_null());
    CHECK(read["rows"][0]["first_too_hot"]["subject"] == "battery");
}

TEST_CASE("remedies tell what then is set, or how far apart the sides still are, in the user's degrees") {
    const plan::Remedy helps{plan::RemedyKind::take_out, "battery", true, celsius_to_kelvin(60.0), 1800.0, 5400.0, {}};
    const plan::Remedy falls_short{plan::RemedyKind::fan_at_zone, "rocker", false, 0.0, 0.0, 0.0, 5.0};
    const std::string text = remedies_text({helps, falls_short}, {});
    CHECK(holds(text, "take out battery"));
    CHECK(holds(text, "60 °C, hold 30 min"));
    CHECK(holds(text, "1 h 30 min"));
    CHECK(holds(text, "not enough: 5 K short"));
    TextOptions us;
    us.units = *units_from_name("us");
    CHECK(holds(remedies_text({falls_short}, us), "9 °F short"));
    CHECK(remedies_text({}, {}).empty());
    const json read = json::parse(json_text(document_of(plan::Plan{}, PlanCompany{.remedies = {helps, falls_short}})));
    CHECK(read["remedies"][0]["kind"] == "take_out");
    CHECK(read["remedies"][1]["setpoint_k"].is_null());
    CHECK(read["remedies"][1]["gap_k"] == 5.0);
}

TEST_CASE("the burner's sentences name the lag, the limits and where the heat went") {
    const std::vector<std::string> sentences = booth_run_sentences(with_burner(), {});
    REQUIRE(sentences.size() == 3);
    CHECK(sentences[0] == "When the ramp ends at 0:10, the air is 10.0 K under its set point; it arrives at 0:20.");
    CHECK(sentences[1] == "The burner runs at its full power for 15 min.");
    // 36 MJ are 10 kWh.
    CHECK(
        holds(sentences[2], "Burner: 10.0 kWh, of which 1.0 kWh went into the shell, 5.0 kWh out with the air, 2.0 kWh through"));
    CHECK(holds(sentences[2], "Largest power 120 kW"));
    bake::Prediction tripped = with_burner();
    tripped.summary.booth->tripped_s = 1500.0;
    CHECK(holds(booth_run_sentences(tripped, {}).front(), "The high limit trips at 0:25"));
    CHECK(booth_run_sentences(bake::Prediction{}, {}).empty());
}
