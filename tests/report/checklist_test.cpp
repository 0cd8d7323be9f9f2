// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/checklist.hpp"

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "bakewright/base/error.hpp"

using namespace bakewright;
using namespace bakewright::report;

namespace {

/// Everything was looked for, thing by thing.
Checklist all_out() {
    Checklist list;
    for (const CheckedThing& thing : checked_things()) list.answer({std::string(thing.name)}, CheckAnswer::out, "--checked");
    return list;
}

}  // namespace

TEST_CASE("what is not answered prints NOT CHECKED, and answers print what they are") {
    Checklist list;
    const std::string open = checklist_text(list, {});
    std::size_t count = 0;
    for (std::size_t at = open.find("NOT CHECKED"); at != std::string::npos; at = open.find("NOT CHECKED", at + 1)) ++count;
    CHECK(count == checked_things().size());
    CHECK(not_checked_sentence(list).starts_with("NOT CHECKED: 11 things"));
    list = all_out();
    CHECK(checklist_text(list, {}).find("NOT CHECKED") == std::string::npos);
    CHECK(not_checked_sentence(list).empty());
    CHECK(list.blocking().empty());
    list.answer({"tyres"}, CheckAnswer::not_checked, "--checked");
    CHECK(not_checked_sentence(list) == "NOT CHECKED: tyres at pressure.");
}

TEST_CASE("anything of the list that is still in blocks, whatever else is answered") {
    for (const CheckedThing& thing : checked_things()) {
        Checklist list = all_out();
        list.answer({std::string(thing.name)}, CheckAnswer::aboard, "--aboard");
        REQUIRE(list.blocking().size() == 1);
        CHECK(list.blocking().front().name == thing.name);
        const std::string sentence = blocked_sentence(list.blocking());
        CHECK(sentence.find("no plan and no card") != std::string::npos);
        CHECK(sentence.find(thing.title) != std::string::npos);
        CHECK(sentence.find(thing.why) != std::string::npos);
    }
}

TEST_CASE(
    "batteries and struts may stay by a written limit, a tank that is the shell itself certified gas-free, and nothing else") {
    Checklist list = all_out();
    list.answer({"batteries", "struts"}, CheckAnswer::written_limit, "--written-limit");
    list.answer({"tanks"}, CheckAnswer::gas_free, "--gas-free");
    CHECK(list.blocking().empty());
    CHECK(checklist_text(list, {}).find("certified gas-free") != std::string::npos);
    for (const std::string name : {"gas", "fuel", "airbags", "tanks"})
        CHECK_THROWS_AS(list.answer({name}, CheckAnswer::written_limit, "--written-limit"), InputError);
    CHECK_THROWS_AS(list.answer({"gas"}, CheckAnswer::gas_free, "--gas-free"), InputError);
}

TEST_CASE("an unknown word is refused with the nearest one and its option, and so is all at once") {
    Checklist list;
    CHECK_THROWS_WITH_AS(list.answer({"aerosol"}, CheckAnswer::out, "--checked"), doctest::Contains("Did you mean 'aerosols'?"),
                         InputError);
    CHECK_THROWS_WITH_AS(list.answer({"zzzzzzzz"}, CheckAnswer::out, "--checked"), doctest::Contains("there are: gas, tanks"),
                         InputError);
    CHECK_THROWS_WITH_AS(list.answer({"all"}, CheckAnswer::out, "--checked"), doctest::Contains("each is looked for by itself"),
                         InputError);
    CHECK(list.not_checked().size() == checked_things().size());
}

TEST_CASE("a document says near its head what is not checked, and carries the answers and the cautions") {
    Checklist list = all_out();
    list.answer({"gas"}, CheckAnswer::not_checked, "--checked");
    Json document = {{"format", "bakewright.plan"}, {"format_version", 1}, {"feasible", true}};
    put_checklist(document, list);
    CHECK(document.begin().key() == "format");
    CHECK(std::next(document.begin(), 2).key() == "not_checked");
    CHECK(document.at("not_checked") == nlohmann::ordered_json({"gas"}));
    CHECK(document.at("checklist").size() == checked_things().size());
    CHECK(document.at("checklist").at(1).at("answer") == "out");
    CHECK(document.at("cautions").size() > 3);
    CHECK_FALSE(document.at("cautions").at(0).at("text").get<std::string>().empty());
}
