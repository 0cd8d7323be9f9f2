// What commands print beside the records: plans, logs, the book's lists.

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "bakewright/base/units.hpp"
#include "bakewright/report/book_text.hpp"
#include "bakewright/report/json_commands.hpp"
#include "bakewright/report/plan_text.hpp"
#include "bakewright/report/tables.hpp"

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
    const std::string text = plan_text(conflict(), {});
    CHECK(holds(text, "No cycle was found"));
    const std::string sentences = conflict_sentences(conflict(), {});
    CHECK(holds(sentences, "70 °C with a hold of 30 min. There: battery"));
    CHECK(holds(sentences, "nothing gets too hot is 55 °C. There: rocker"));
    CHECK(holds(text, "UNDER rocker"));
    CHECK(holds(text, "OVER battery"));
}

TEST_CASE("a plan without an answer is JSON with null for what there is not") {
    const json read = json::parse(to_json_text(conflict()));
    CHECK(read["format"] == "bakewright.plan");
    CHECK(read["feasible"] == false);
    CHECK(read["best"].is_null());
    CHECK(read["verdict"].is_null());
    CHECK(read["candidates"][0]["hold_s"].is_null());
    CHECK(read["candidates"][1]["hold_s"] == 1800.0);
    CHECK(read["candidates"][1]["items_not_good"][0]["item"] == "battery");
}

TEST_CASE("a document gets its bake's number, or null where it was not kept, and loses nothing") {
    const std::string document = to_json_text(conflict());
    const json kept = json::parse(with_bake_number(document, 12));
    CHECK(kept["bake"] == 12);
    json without = kept;
    without.erase("bake");
    CHECK(without == json::parse(document));
    CHECK(json::parse(with_bake_number(document, 0))["bake"].is_null());
}

TEST_CASE("options become one JSON object, a repeated name a list, quotes and markup stay text") {
    const json read = json::parse(json_object({{"map", "a=b"}, {"start_k", 293.15}, {"map", "\"</script>"}, {"map", "c"}}));
    CHECK(read["map"] == json::array({"a=b", "\"</script>", "c"}));
    CHECK(read["start_k"] == 293.15);
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
