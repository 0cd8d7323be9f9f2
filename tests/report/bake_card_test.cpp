// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/bake_card.hpp"

#include <doctest/doctest.h>

#include <algorithm>

#include "bakewright/base/error.hpp"
#include "report/sample_report.hpp"

using namespace bakewright;
using namespace bakewright::report;

namespace {

BakeCard card() {
    BakeCard card;
    card.title = "Library van, first clear group";
    card.shell_title = "Larch County mobile library van";
    card.booth_title = "Long booth";
    card.coating = sample::coating();
    card.stages = sample::stages();
    card.predicted = sample::predicted();
    card.verdict = sample::verdict();
    for (cure::ZoneVerdict& zone : card.verdict.zones)  // a bake that is UNDER has no card
        if (zone.word == cure::Word::under) zone.word = cure::Word::check;
    card.items = {{.name = "reading-corner seats",
                   .title = {},
                   .limits = {{.temperature_k = celsius_to_kelvin(50.0), .allowed_s = 0.0, .scope = cure::ExposureScope::bake}},
                   .sources = {}}};
    return card;
}

bool has(const std::string& html, const std::string& text) { return html.find(text) != std::string::npos; }

}  // namespace

TEST_CASE("with a start the card tells clock times, without one times since the start") {
    BakeCard timed = card();
    timed.started_at = "2026-03-04T17:25:00";
    const std::string html = html_card(timed);
    // By hand: the hold of the sample ends after 75 min, so at 18:40.
    CHECK(has(html, "<td>18:40</td>"));
    CHECK(has(html, "65 °C"));
    CHECK(has(html_card(card()), "<td>1:15</td>"));
}

TEST_CASE("stages that follow one another with the same air are one line to set") {
    BakeCard twice = card();
    bake::ResolvedStage more = twice.stages.back();
    more.begin_s = more.end_s;
    more.end_s += 1800.0;
    more.begin_k = more.end_k;
    twice.stages.push_back(more);
    const auto rows = [](const std::string& html) {
        std::size_t count = 0;
        for (std::size_t at = html.find("<tr class="); at != std::string::npos; at = html.find("<tr class=", at + 1)) ++count;
        return count;
    };
    CHECK(rows(html_card(twice)) == rows(html_card(card())));
}

TEST_CASE("a rest that begins warm starts its clock when the zone is back at its schedule, and the wait before it is called so") {
    // By hand: the slowest zone comes from a bake that was cut short, is above 60 °C until it cools in a wait of 20 min, and is
    // back there at 60 min; its longest stay is the second.
    BakeCard rest = card();
    rest.stages.insert(rest.stages.begin(),
                       {.kind = bake::StageKind::cool, .begin_s = 0.0, .end_s = 1200.0, .begin_k = 293.15, .end_k = 293.15});
    for (cure::ZoneVerdict& zone : rest.verdict.zones) zone.dose.at_value = 2.0;
    cure::ZoneVerdict& slowest = rest.verdict.zones.front();
    slowest.dose.at_value = 0.5;
    slowest.role = TraceRole::zone;
    slowest.word = cure::Word::good;
    slowest.reference_temperature_k = celsius_to_kelvin(60.0);
    std::erase_if(rest.predicted.traces, [&](const Trace& trace) { return trace.name == slowest.zone; });
    Trace trace;
    trace.name = slowest.zone;
    trace.role = TraceRole::zone;
    trace.time_s = {0.0, 600.0, 601.0, 3599.0, 3600.0, 9000.0};
    for (const double c : {61.0, 61.0, 50.0, 50.0, 60.0, 61.0}) trace.temperature_k.push_back(celsius_to_kelvin(c));
    rest.predicted.traces.push_back(trace);
    const std::string html = html_card(rest);
    CHECK(has(html, "about 1:00"));
    CHECK(has(html, ">wait</th>"));
    CHECK(has(html, "cycle many"));
}

TEST_CASE("the card is in the booth's units") {
    BakeCard american = card();
    american.units = *units_from_name("us");
    const std::string html = html_card(american);
    CHECK(has(html, "149 °F"));  // 65 degC
    CHECK_FALSE(has(html, "65 °C"));
}

TEST_CASE("what nobody answered prints NOT CHECKED before the cycle, and with anything still in there is no card") {
    BakeCard asked = card();
    const std::string open = html_card(asked);
    REQUIRE(has(open, "class=\"unchecked\""));
    CHECK(open.find("NOT CHECKED: 11 things") < open.find("<table class=\"cycle"));
    for (const CheckedThing& thing : checked_things())
        asked.checklist.answer({std::string(thing.name)}, CheckAnswer::out, "--checked");
    CHECK_FALSE(has(html_card(asked), "NOT CHECKED"));
    asked.checklist.answer({"rags"}, CheckAnswer::aboard, "--aboard");
    CHECK_THROWS_AS((void)html_card(asked), PromiseError);
}

TEST_CASE("a bake that is UNDER or OVER has no card; the refusal says why and what would mend it") {
    BakeCard asked = card();
    CHECK(card_refusal(asked.verdict, {}).empty());
    asked.verdict = sample::verdict();
    const std::string under = card_refusal(asked.verdict, {});
    CHECK(has(under, "UNDER: left sill"));
    CHECK(has(under, "Set it hotter: left sill gets to 55 °C, the sheet's coolest row is at 60 °C"));
    CHECK_THROWS_AS((void)html_card(asked), PromiseError);
    // 12 min at or above 60 degC of 35 asked.
    asked.verdict.zones[1].rows = {{{celsius_to_kelvin(60.0), 2100.0, {}}, 720.0, 720.0, 1380.0}};
    CHECK(has(card_refusal(asked.verdict, {}), "Hold 23 min longer at this set point"));
    asked.verdict.zones[1].word = cure::Word::over;
    CHECK(has(card_refusal(asked.verdict, {}), "Set it cooler or hold it shorter"));
}

TEST_CASE("CHECK stands in letters as large as the set point with its reason; GOOD does not") {
    BakeCard asked = card();
    const std::string html = html_card(asked);
    CHECK(has(html, "<p class=\"check\">CHECK</p>"));
    CHECK(has(html, ".check { font-size: 30pt"));  // as .hold
    CHECK(html.find("class=\"check\"") < html.find("<table class=\"cycle"));
    for (cure::ZoneVerdict& zone : asked.verdict.zones) zone.word = cure::Word::good;
    asked.verdict.items.clear();
    CHECK_FALSE(has(html_card(asked), "<p class=\"check\">"));
    asked.verdict.warnings = {{cure::HeatWarningKind::heated_too_soon, {}, 300.0, 300.0, 600.0, {}}};
    const std::string short_flash = html_card(asked);
    CHECK(has(short_flash, "<p class=\"check\">CHECK</p>"));
    CHECK(has(short_flash, "Heated too soon"));
    asked.verdict.warnings.clear();
    asked.verdict.questions = {"how long a flash-off does the sheet ask for"};
    CHECK(has(html_card(asked), "<p class=\"check\">CHECK</p>"));
}

TEST_CASE("a cycle without a purge of its own says who purges") {
    BakeCard asked = card();
    CHECK(has(html_card(asked), "NOT IN THIS CYCLE: purge first"));
    asked.booth_purges_by_itself = true;
    CHECK(has(html_card(asked), "by the booth&#39;s controller"));
    asked.stages.insert(asked.stages.begin() + 1,
                        {.kind = bake::StageKind::purge, .begin_s = 600.0, .end_s = 720.0, .begin_k = 293.15, .end_k = 293.15});
    const std::string html = html_card(asked);
    CHECK_FALSE(has(html, "by the booth"));
    CHECK(has(html, ">purge</th>"));
}

TEST_CASE("the hot-surface line names the last zone and when it is below 40 degC, or that it is not within what is estimated") {
    BakeCard asked = card();
    CHECK(has(html_card(asked), "the end of what is estimated. Test before you touch."));
    for (Trace& trace : asked.predicted.traces) {
        if (trace.role != TraceRole::zone) continue;
        trace.time_s = {0.0, 6000.0, 9000.0};
        trace.temperature_k = {celsius_to_kelvin(20.0), celsius_to_kelvin(60.0), celsius_to_kelvin(30.0)};
    }
    asked.predicted.traces[2].temperature_k[2] = celsius_to_kelvin(35.0);
    // By hand: from 60 at 100 min to 35 at 150 min it is at 40 degC after 140 min.
    CHECK(has(hot_surface_sentence(asked),
              asked.predicted.traces[2].name + " is the last estimated below 40 °C, at 2:20. Test before you touch."));
}

TEST_CASE("the slowest zone is named, with the moment its clock starts") {
    const std::string html = html_card(card());
    CHECK(has(html, "Slowest: <b><bdi>left sill</bdi></b>"));
    CHECK(has(html, "Not expected to reach 60 °C"));  // it settles at 56 degC
    BakeCard warmer = card();
    for (cure::ZoneVerdict& zone : warmer.verdict.zones)
        if (zone.zone == "left sill") zone.word = cure::Word::not_judged;
    // The sample's front cap settles at 60 degC and never gets there either; the roof passes 60 degC of 61.
    for (cure::ZoneVerdict& zone : warmer.verdict.zones)
        if (zone.zone == "front cap") zone.word = cure::Word::not_judged;
    CHECK(has(html_card(warmer), "Slowest: <b><bdi>roof skin</bdi></b>. The clock starts when it is at 60 °C"));
}

TEST_CASE("checks come in the order of time and end when the last zone can be touched") {
    const std::vector<CardCheck> checks = card_checks(card());
    REQUIRE(checks.size() == 3);  // heat on, middle and end of the hold: the sample never cools to 40 degC
    CHECK(std::is_sorted(checks.begin(), checks.end(),
                         [](const CardCheck& one, const CardCheck& other) { return one.at_s < other.at_s; }));
    CHECK(checks.front().at_s == 600.0);  // the ramp begins
    const auto end = std::find_if(checks.begin(), checks.end(), [](const CardCheck& one) { return one.at_s == 4500.0; });
    REQUIRE(end != checks.end());
    CHECK(has(end->expected, "left sill"));
}

TEST_CASE("probes go where the card's places say, in their order, those for safety marked") {
    BakeCard asked = card();
    asked.probe_places = {{.zone = "left sill", .share = 0.4},
                          {.zone = "rear cap", .share = 0.6},
                          {.zone = "battery", .reason = plan::PlaceReason::weakest_item},
                          {.zone = "panel", .reason = plan::PlaceReason::test_panel},
                          {.reason = plan::PlaceReason::air_high},
                          {.reason = plan::PlaceReason::air_low}};
    CHECK(card_probes(asked) == std::vector<std::string>{"left sill", "rear cap", "battery (weakest item)", "panel",
                                                         "booth air, high", "booth air, low"});
    CHECK(has(html_card(asked), "battery (weakest item)"));
}

TEST_CASE("stop rules name the item with the lowest limit and the coating's maximum") {
    const std::vector<std::string> stops = card_stops(card());
    CHECK(has(stops[0], "reading-corner seats reads 50 °C or more"));
    CHECK(has(stops[1], "70 °C"));
}

TEST_CASE("names with markup stay text on the card, and it fetches nothing") {
    BakeCard hostile = card();
    const std::string name = "</style><script>alert(1)</script><img src=x onerror=alert(1)>";
    hostile.title = hostile.shell_title = hostile.booth_title = hostile.coating.title = name;
    hostile.verdict.zones[1].zone = name;
    hostile.taken_out = {name};
    hostile.provenance = {{name, name}};
    const std::string html = html_card(hostile);
    CHECK_FALSE(has(html, "<script"));
    CHECK_FALSE(has(html, "<img"));
    CHECK_FALSE(has(html, "http://"));
    CHECK(has(html, "default-src 'none'"));
    CHECK(has(html, "data sheet wins over every number"));
}
