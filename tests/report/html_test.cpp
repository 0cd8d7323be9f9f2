// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/html.hpp"

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>
#include <regex>

#include "bakewright/report/assets.hpp"
#include "bakewright/report/plain_text.hpp"
#include "report/sample_report.hpp"

using namespace bakewright;
using namespace bakewright::report;

namespace {

std::size_t count(const std::string& text, const std::string& part) {
    std::size_t found = 0;
    for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + part.size())) ++found;
    return found;
}

std::string between(const std::string& text, const std::string& before, const std::string& after) {
    const std::size_t from = text.find(before);
    REQUIRE(from != std::string::npos);
    const std::size_t begin = from + before.size();
    return text.substr(begin, text.find(after, begin) - begin);
}

nlohmann::json chart_json(const std::string& html) {
    return nlohmann::json::parse(between(html, "id=\"bake-data\">", "</script>"));
}

/// The page without the library, its notice and our chart's script: what is left is markup, style and data.
std::string markup(const std::string& html) {
    std::string rest = html.substr(0, html.find("<!--\n"));
    return rest + html.substr(html.find("-->\n"), html.find("<script>") - html.find("-->\n"));
}

const std::string kHostile = "</script><script>alert(1)</script>\"'&<img src=x onerror=alert(1)> \xE2\x80\xAE\xE2\x80\x8F";

ReportInput hostile_report() {
    ReportInput input = sample::report();
    input.title = input.remark = input.shell_title = input.booth_title = input.coating_title = input.cycle_title = kHostile;
    input.written_at = input.started_at = kHostile;
    input.predicted->traces[2].name = input.logged->traces[2].name = kHostile;
    input.verdicts[0].label = kHostile;
    for (cure::ZoneVerdict& zone : input.verdicts[0].verdict.zones) zone.zone = zone.reason = kHostile;
    input.verdicts[0].verdict.items[0].item = input.verdicts[0].verdict.items[0].reason = kHostile;
    input.verdicts[0].verdict.remarks = {kHostile};
    input.verdicts[0].verdict.warnings[0].where = kHostile;
    input.verdicts[0].verdict.activation_energy_origin = kHostile;
    input.comparison->channels[0].predicted = input.comparison->unmatched_logged.emplace_back(kHostile);
    input.agreement->channels[0].channel = input.agreement->probes_origin = input.agreement->model_origin = kHostile;
    input.splits[0].zone = input.splits[0].reason = kHostile;
    input.assumptions[0] = {kHostile, kHostile, kHostile};
    input.provenance[0] = {kHostile, kHostile};
    return input;
}

}  // namespace

TEST_CASE("a report shows what was baked, the answer, the cycle, the verdicts and the cautions") {
    const std::string html = html_report(sample::report());
    for (const char* part :
         {"Larch County mobile library van", "Long booth, insulated walls", "65 °C for 45 min", "UNDER", "NOT JUDGED",
          "the sheet needs 35.0 min", "Heated too fast", "reading-corner seats", "flash-off", "Predicted against logged",
          "Within what probe and model may be off", "common practice", "supplied air", "SHA-256 77c1", "2026-03-04 19:02"}) {
        CAPTURE(part);
        CHECK(html.find(part) != std::string::npos);
    }
    CHECK(html.find("UNDER</span>") < html.find("<table"));
}

TEST_CASE("what is absent is left out") {
    const std::string html = html_report({});
    CHECK(html.find("<table") == std::string::npos);
    CHECK(html.find("<script") == std::string::npos);
    CHECK(html.find("Cautions") != std::string::npos);
}

TEST_CASE("user text never becomes markup, wherever it stands") {
    const std::string html = html_report(hostile_report());
    const std::string plain = html_report(sample::report());
    CHECK(count(html, "<script") == count(plain, "<script"));
    CHECK(count(html, "</script") == count(plain, "</script"));
    CHECK(count(html, "<img") == 0);
    CHECK(count(html, "onerror=") == count(html, "onerror=alert(1)&gt;") + count(html, "onerror=alert(1)\\u003e"));
    CHECK(count(markup(html), "\"'&") == 0);
    CHECK(html.find(escape_html(kHostile)) != std::string::npos);
}

TEST_CASE("the chart's data says the hostile name again, letter for letter") {
    const nlohmann::json data = chart_json(html_report(hostile_report()));
    bool found = false;
    for (const auto& series : data["series"]) found = found || series["name"] == kHostile;
    CHECK(found);
}

TEST_CASE("the page may fetch nothing and runs only the seven scripts that stand in it") {
    const std::string policy = between(html_report(sample::report()), "http-equiv=\"Content-Security-Policy\" content=\"", "\">");
    CHECK(policy.starts_with("default-src 'none'; script-src 'sha256-"));
    CHECK(count(policy, "'sha256-") == 9);
    CHECK(count(policy, "unsafe-eval") == 0);
    CHECK(policy.find("script-src 'unsafe-inline'") == std::string::npos);
    CHECK(std::regex_search(policy, std::regex("'sha256-[A-Za-z0-9+/]{43}='")));
    CHECK(policy.find("base-uri 'none'; form-action 'none'") != std::string::npos);
}

TEST_CASE("nothing in the page points outside it") {
    const std::string html = html_report(sample::report());
    for (const char* fetch :
         {"src=\"", "href=", "url(", "@import", "http://", "https://", "//# sourceMappingURL", "sourceMappingURL"}) {
        CAPTURE(fetch);
        CHECK(markup(html).find(fetch) == std::string::npos);
    }
    CHECK(html.find("sourceMappingURL") == std::string::npos);
    CHECK(html.find("XMLHttpRequest") == html.find("XMLHttpRequest", html.find(dygraphs_script().text)));  // only in the library
}

TEST_CASE("the chart library is whole and keeps its licence") {
    const std::string html = html_report(sample::report());
    CHECK(html.find(dygraphs_script().text) != std::string::npos);
    CHECK(html.find(dygraphs_notice().text) != std::string::npos);
    CHECK(dygraphs_notice().text.find("Permission is hereby granted, free of charge") != std::string_view::npos);
    CHECK(dygraphs_notice().text.find("--") == std::string_view::npos);  // stands in an HTML comment
    CHECK(dygraphs_script().text.find("</script") == std::string_view::npos);
    CHECK(dygraphs_script().sha256_hex.size() == 64);
}

TEST_CASE("the chart gets every trace in the user's degrees and minutes, gaps as null") {
    ReportInput input = sample::report();
    input.units = *units_from_name("us");
    const nlohmann::json data = chart_json(html_report(input));
    CHECK(data["unit"] == "°F");
    CHECK(data["clock"] == 16 * 60 + 20);
    REQUIRE(data["series"].size() == input.logged->traces.size() + input.predicted->traces.size());
    const nlohmann::json& roof = data["series"][1];
    CHECK(roof["source"] == "logged");
    CHECK(roof["v"][300].is_null());
    CHECK(data["series"][2]["v"][100].is_null());  // flagged as a spike
    CHECK_FALSE(data["series"][2]["v"][101].is_null());
    CHECK(std::abs(roof["t"][1].get<double>() - 7.0 / 60.0) <= 0.005);  // drawn to 0.01 min
    CHECK(std::abs(roof["v"][0].get<double>() - 68.0) <= 0.005);        // 20 degC, drawn to 0.01 degF
    CHECK(data["limits"][0]["label"] == "cure 140 °F, 35 min");
    CHECK(data["limits"][0]["value"] == 140.0);
    CHECK(data["band"]["high"] == 158.0);
    CHECK(data["stages"][2]["name"] == "hold");
}

TEST_CASE("without a coating the chart draws the schedule of the verdict") {
    ReportInput input = sample::report();
    input.coating.reset();
    const nlohmann::json data = chart_json(html_report(input));
    CHECK(data["limits"][0]["kind"] == "cure");
    CHECK(data["band"].is_null());
}

TEST_CASE("a long log is thinned, the page says so and stays small") {
    // The yardstick is a bake of 24 channels, four hours, one sample a second, in a file under 3 MB.
    ReportInput input = sample::report();
    input.logged->traces.clear();
    for (int i = 0; i < 24; ++i)
        input.logged->traces.push_back(
            sample::rising_trace("channel " + std::to_string(i), TraceRole::zone, 55.0 + 0.3 * i, 700.0, 1.0, 4.0 * 3600.0));
    const std::string html = html_report(input);
    CHECK(html.size() < 3'000'000);
    CHECK(html.find("24 long traces are drawn with about 2000 points each") != std::string::npos);
    const nlohmann::json data = chart_json(html);
    CHECK(data["series"].size() == 24 + sample::predicted().traces.size());
    for (const auto& series : data["series"]) CHECK(series["t"].size() <= 2000);
    CHECK(html_report(sample::report()).find("long traces are drawn") == std::string::npos);
}

TEST_CASE("the same input gives the same bytes") { CHECK(html_report(sample::report()) == html_report(sample::report())); }

TEST_CASE("the pictures stand in the page as data, and their scripts never write markup") {
    const std::string html = html_report(sample::report());
    CHECK(html.find("id=\"lanes\"") != std::string::npos);
    CHECK(html.find("id=\"shell\"") != std::string::npos);
    const auto data = chart_json(html);
    CHECK(data["course"]["zones"][0]["zone"] == "left sill");
    CHECK(data["drawing"]["views"].size() > 3);
    CHECK(data["verdicts"]["left sill"] == "UNDER");
    for (const Asset& script : {pictures_script(), lanes_script(), shell_drawing_script()}) {
        CHECK(html.find(script.text) != std::string::npos);
        CHECK(script.text.find("innerHTML") == std::string_view::npos);
        CHECK(script.text.find("</script") == std::string_view::npos);
    }
    ReportInput plain = sample::report();
    plain.course.reset();
    plain.drawing.reset();
    const std::string without = html_report(plain);
    CHECK(without.find("id=\"lanes\"") == std::string::npos);
    CHECK(without.find("id=\"shell\"") == std::string::npos);
    CHECK(chart_json(without)["course"].is_null());
}

TEST_CASE("a report calls a zone what people call it, in every table and picture") {
    ReportInput input = sample::report();
    const std::string name = input.predicted->traces[2].name;
    REQUIRE(markup(html_report(input)).find(">" + name + "<") != std::string::npos);
    input.titles[name] = "the low panel";
    const std::string html = html_report(input);
    CHECK(markup(html).find(">the low panel<") != std::string::npos);
    CHECK(markup(html).find(">" + name + "<") == std::string::npos);
    std::size_t curves = 0;
    const nlohmann::json drawn = chart_json(html);
    for (const auto& series : drawn.at("series")) curves += series.at("name") == "the low panel" ? 1 : 0;
    CHECK(curves > 0);
    CHECK(drawn.at("verdicts").contains("the low panel"));
}

TEST_CASE("what both verdicts rest on stands once, before what is one's own") {
    ReportInput input = sample::report();
    input.verdicts.resize(1);
    input.verdicts.push_back(input.verdicts[0]);
    input.verdicts[0].verdict.remarks = {"shared remark", "of the log alone"};
    input.verdicts[1].verdict.remarks = {"shared remark"};
    const std::string html = markup(html_report(input));
    CHECK(count(html, "hared remark") == 1);
    CHECK(html.find("hared remark") < html.find("f the log alone"));
}
