// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/json.hpp"

#include <doctest/doctest.h>

#include <limits>
#include <nlohmann/json.hpp>

#include "report/sample_report.hpp"

using namespace bakewright;
using namespace bakewright::report;
using nlohmann::json;

TEST_CASE("traces read back to the same doubles, missing samples as null") {
    const TraceSet set = sample::logged();
    const json read = json::parse(json_text(document_of(set)));
    CHECK(read["format"] == "bakewright.traces");
    CHECK(read["format_version"] == 1);
    CHECK(read["started_at"] == "2026-03-04T16:20:00");
    REQUIRE(read["traces"].size() == set.traces.size());
    for (std::size_t i = 0; i < set.traces.size(); ++i) {
        const json& trace = read["traces"][i];
        CHECK(trace["name"] == set.traces[i].name);
        CHECK(trace["role"] == trace_role_name(set.traces[i].role));
        CHECK(trace["time_s"].get<std::vector<double>>() == set.traces[i].time_s);
        for (std::size_t j = 0; j < set.traces[i].size(); ++j) {
            const double stored = set.traces[i].temperature_k[j];
            const json& value = trace["temperature_k"][j];
            if (stored != stored) {
                REQUIRE(value.is_null());
            } else {
                REQUIRE(value.get<double>() == stored);
            }
        }
    }
    CHECK(read["traces"][2]["quality"][100] == "spike");
    CHECK_FALSE(read["traces"][0].contains("quality"));
}

TEST_CASE("a verdict's numbers are SI under keys that name their unit") {
    const json read = json::parse(json_text(document_of(sample::verdict())));
    CHECK(read["format"] == "bakewright.verdict");
    CHECK(read["worst"] == cure::word_text(sample::verdict().worst()));
    CHECK(read["schedule_basis"] == "part");
    CHECK(read["activation_energy"]["value_j_per_mol"] == 55e3);
    const json& sill = read["zones"][1];
    CHECK(sill["zone"] == "left sill");
    CHECK(sill["word"] == "UNDER");
    CHECK(sill["peak_temperature_k"].get<double>() == sample::verdict().zones[1].peak_temperature_k);
    CHECK(sill["rows"][0]["minimum_s"] == 2100.0);
    CHECK(sill["rows"][0]["maximum_s"].is_null());
    CHECK(sill["cured_at_s"].is_null());
    CHECK(sill["reference_minimum_s"] == 2100.0);
    CHECK(sill["why_not_judged"].is_null());
    CHECK(read["zones"][3]["why_not_judged"] == "no_trace");
    CHECK(read["warnings"][0]["warning"] == "heated too fast");
    CHECK(read["warnings"][0]["found_k_per_s"] == 4.1 / 60.0);
    CHECK(read["items"][0]["limits"][1]["scope"] == "lifetime");
}

TEST_CASE("a prediction gives its stages, summaries and account, and its samples only when asked") {
    const bake::Prediction prediction = sample::prediction();
    const json read = json::parse(json_text(document_of(prediction)));
    CHECK(read["stages"][2]["kind"] == "hold");
    CHECK(read["stages"][2]["end_s"] == 4500.0);
    CHECK(read["run"]["nodes"] == 31);
    CHECK(read["run"]["splits"][0]["zone"] == "front cap");
    CHECK(read["zones"][0]["role"] == "booth_air");
    CHECK_FALSE(read.contains("traces"));
    CHECK(document_of(prediction, true)["traces"].size() == prediction.traces.traces.size());
}

TEST_CASE("a comparison keeps absent lags as null") {
    const json read = json::parse(json_text(document_of(sample::comparison())));
    CHECK(read["channels"][0]["lag_s"] == 96.0);
    CHECK(read["channels"][1]["lag_s"].is_null());
    CHECK(read["unmatched_predicted"][1] == "saloon air");
}

TEST_CASE("values that are not finite are null everywhere") {
    cure::BakeVerdict verdict = sample::verdict();
    verdict.zones[0].peak_temperature_k = std::numeric_limits<double>::quiet_NaN();
    verdict.zones[0].dose.at_high = std::numeric_limits<double>::infinity();
    const json read = json::parse(json_text(document_of(verdict)));
    CHECK(read["zones"][0]["peak_temperature_k"].is_null());
    CHECK(read["zones"][0]["dose"]["at_high"].is_null());
}

TEST_CASE("keys come in a stable order and the same record gives the same bytes") {
    const std::string text = json_text(document_of(sample::verdict()), -1);
    CHECK(text == json_text(document_of(sample::verdict()), -1));
    CHECK(text.starts_with(R"({"format":"bakewright.verdict","format_version":1,"worst":)"));
    CHECK(text.find("\"zone\":") < text.find("\"role\":"));
    CHECK(text.find("\"role\":") < text.find("\"word\":"));
}

TEST_CASE("a name that is not UTF-8 does not stop the export") {
    TraceSet set = sample::predicted();
    set.traces[0].name = "roof\xFF";
    CHECK(json::parse(json_text(document_of(set)))["traces"][0]["name"] == "roof\xEF\xBF\xBD");
}

TEST_CASE("a whole report is one document") {
    const json read = json::parse(json_text(document_of(sample::report())));
    CHECK(read["format"] == "bakewright.report");
    CHECK(read["verdicts"][0]["label"] == "logged");
    CHECK(read["verdicts"][0]["zones"].size() == 4);
    CHECK(read["comparison"]["channels"].size() == 2);
    CHECK(read["agreement"]["channels"][0]["agrees"] == false);
    CHECK(json::parse(json_text(document_of(ReportInput{})))["agreement"].is_null());
    CHECK(read["logged"]["started_at"] == "2026-03-04T16:20:00");
    CHECK_FALSE(read["logged"].contains("traces"));
    CHECK(document_of(sample::report(), true)["logged"]["traces"].size() == sample::logged().traces.size());
    CHECK(json::parse(json_text(document_of(ReportInput{})))["predicted"].is_null());
}
