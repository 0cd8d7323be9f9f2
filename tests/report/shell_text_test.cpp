// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/shell_text.hpp"

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "bakewright/cure/confidence.hpp"
#include "bakewright/cure/judge_history.hpp"
#include "bakewright/report/answers.hpp"
#include "bakewright/report/tables.hpp"

using namespace bakewright;

namespace {

Trace hold(const std::string& name, double hold_k, double minutes, TraceRole role = TraceRole::zone) {
    return {.name = name, .role = role, .time_s = {0.0, 60.0 * minutes}, .temperature_k = {hold_k, hold_k}, .quality = {}};
}

cure::Coat coat(const std::string& name, double applied_at_s, double maximum_min) {
    cure::Coat made;
    made.name = name;
    made.coating.title = name;
    made.coating.basis = cure::ScheduleBasis::part;
    made.coating.schedule = {{333.15, 1800.0, 60.0 * maximum_min}};
    made.zones = {"roof", "sill"};
    made.applied_at_s = applied_at_s;
    return made;
}

/// Two invented bakes: the roof gets 40 min at 60 degC twice, the sill 10 min at 50 degC.
struct Shop {
    TraceSet bake{{hold("roof", 333.15, 40), hold("sill", 323.15, 10), hold("seat", 325.15, 40, TraceRole::item)}, ""};
    cure::ShellHistory history;

    Shop() {
        history.coats = {coat("primer", 0.0, 70.0), coat("clear", 10000.0, 200.0)};
        history.items = {{"seat", "leather", {{323.15, 3600.0, cure::ExposureScope::lifetime}}, {}}};
        for (int i = 0; i < 2; ++i) {
            cure::HistoryBake made;
            made.name = i == 0 ? "bake 4" : "bake 7";
            made.began_at_s = 1000.0 + 20000.0 * i;
            made.items = {"seat"};
            made.log = &bake;
            history.bakes.push_back(made);
        }
        history.bakes[1].planned = true;
    }
};

}  // namespace

TEST_CASE("a coat's row shows the worst word, how many zones have which, and the reason below") {
    const Shop shop;
    const report::Table table = report::coat_table(cure::judge_history(shop.history), Units{});
    REQUIRE(table.rows().size() == 2);
    const auto& primer = table.rows()[0];
    CHECK(primer.cells[0].text == "primer");
    CHECK(primer.cells[1].text == "OVER");
    CHECK(primer.cells[1].mark == report::Mark::alarm);
    CHECK(primer.cells[2].text == "1 OVER, 1 UNDER");
    CHECK(primer.cells[3].text == "roof");
    CHECK(primer.note.find("Cured in bake 4, past its maximum since bake 7") == 0);
    CHECK(table.rows()[1].cells[2].text == "1 UNDER, 1 GOOD");
    CHECK(table.rows()[1].cells[5].text == "-");
}

TEST_CASE("what has to come out is said before anything else, and the table stays within 80 columns") {
    const Shop shop;
    const std::string text = report::shell_answer(cure::judge_history(shop.history), {}, true).text("all");
    CHECK(text.find("Before the next bake: seat: take it out before bake 7, or bake cooler:") == 0);
    CHECK(text.find("Every coat on every zone") != std::string::npos);
    std::size_t from = 0;
    for (std::size_t end = text.find('\n'); end != std::string::npos; end = text.find('\n', from)) {
        std::size_t columns = 0;
        for (std::size_t i = from; i < end; ++i) columns += (static_cast<unsigned char>(text[i]) & 0xC0U) != 0x80U ? 1 : 0;
        CAPTURE(text.substr(from, end - from));
        CHECK(columns <= 80);
        from = end + 1;
    }
}

TEST_CASE("a history says how sure it is, coat by coat, and what that rests on") {
    const Shop shop;
    cure::ShellVerdict verdict = cure::judge_history(shop.history);
    cure::add_certainty(verdict, shop.history, [](std::size_t, cure::TraceSource, const std::string&) { return 1.0; },
                        {"a test", "another"});
    const std::vector<std::string> said = report::certainty_sentences(verdict, Units{}, true);
    REQUIRE(!said.empty());
    CHECK(said.back() == "Calculated with a test; and with another. A word counts as sure at 95 % or more.");
    CHECK(said[0].find("2 of 2 zones of primer are sure, ") == 0);
    // The clear had one bake: 40 min at exactly 60 degC against 30 min there, a coin's toss by the row.
    CHECK(said[1].find("clear on roof: too close to call: ") == 0);
    CHECK(report::shell_answer(verdict, {}, false).text("all").find("How sure\n") != std::string::npos);
    const auto told = nlohmann::json::parse(report::json_text(report::document_of(verdict)));
    CHECK(told["uncertainty"].size() == 2);
    for (const auto& coat : told["coats"])
        CHECK(coat["readings"]["certainty"]["too_close_to_call"] == (coat["coat"] == "clear" && coat["zone"] == "roof"));
    CHECK(told["items"][0]["readings"]["certainty"]["under"] == 0.0);
}

TEST_CASE("the shell's verdict reads back as JSON, with every bake's share and its source") {
    const Shop shop;
    const auto told = nlohmann::json::parse(report::json_text(report::document_of(cure::judge_history(shop.history))));
    CHECK(told["format"] == "bakewright.shell-verdict");
    CHECK(told["worst"] == "OVER");
    CHECK(told["coats"].size() == 4);
    CHECK(told["coats"][0]["too_much_since"] == "bake 7");
    CHECK(told["coats"][0]["bakes"][1]["source"] == "log");
    CHECK(told["items"][0]["remove_before"] == "bake 7");
    CHECK(told["items"][0]["readings"]["limits"][0]["exposed_s"] == 4800.0);
}

TEST_CASE("coats and bakes of a history are listed, hostile names on one line") {
    book::StoredCoat stored;
    stored.id = book::CoatId{3};
    stored.shell = "van";
    stored.name = "clear\n\x1b[31m";
    stored.applied_at = "2027-03-01T08:00:00";
    stored.zones = {"roof", "sill"};
    const std::string text = report::coats_text({stored}, {});
    CHECK(text.find("2027-03-01 08:00") != std::string::npos);
    CHECK(text.find("roof, sill") != std::string::npos);
    CHECK(text.find('\x1b') == std::string::npos);
    CHECK(report::coats_text({}, {}) == "no coat is kept for this shell\n");
    book::HistoryEntry entry{
        .shell = "van", .bake = book::BakeId{12}, .began_at = "2027-03-01T08:30:00", .zones = {}, .items = {}};
    CHECK(report::history_text({entry}, {}).find("all") != std::string::npos);
    CHECK(nlohmann::json::parse(
              report::json_text(report::document_of(std::vector<book::HistoryEntry>{entry})))["bakes"][0]["bake"] == 12);
    CHECK(nlohmann::json::parse(
              report::json_text(report::document_of(std::vector<book::StoredCoat>{stored})))["coats"][0]["sanded_at"]
              .is_null());
}
