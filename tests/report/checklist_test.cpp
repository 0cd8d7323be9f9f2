#include "bakewright/report/checklist.hpp"

#include <doctest/doctest.h>

#include "bakewright/base/error.hpp"

using namespace bakewright;
using namespace bakewright::report;

TEST_CASE("what is not answered prints NOT CHECKED, and answers print what they are") {
    Checklist list;
    const std::string open = checklist_text(list, {});
    std::size_t count = 0;
    for (std::size_t at = open.find("NOT CHECKED"); at != std::string::npos; at = open.find("NOT CHECKED", at + 1)) ++count;
    CHECK(count == checked_things().size());
    list.answer({"all"}, CheckAnswer::out, "--checked");
    list.answer({"tyres"}, CheckAnswer::aboard, "--aboard");
    const std::string text = checklist_text(list, {});
    CHECK(text.find("NOT CHECKED") == std::string::npos);
    CHECK(text.find("ABOARD") != std::string::npos);
    CHECK(list.blocking() == nullptr);
}

TEST_CASE("a gas bottle, an aerosol or a vessel under pressure aboard blocks, whatever else is answered") {
    for (const std::string name : {"gas", "aerosols", "tanks", "extinguishers"}) {
        Checklist list;
        list.answer({"all"}, CheckAnswer::out, "--checked");
        list.answer({name}, CheckAnswer::aboard, "--aboard");
        REQUIRE(list.blocking() != nullptr);
        CHECK(list.blocking()->name == name);
        CHECK(blocked_sentence(*list.blocking()).find("no plan") != std::string::npos);
    }
}

TEST_CASE("an unknown word is refused with the nearest one and its option") {
    Checklist list;
    CHECK_THROWS_WITH_AS(list.answer({"aerosol"}, CheckAnswer::out, "--checked"), doctest::Contains("Did you mean 'aerosols'?"),
                         InputError);
    CHECK_THROWS_WITH_AS(list.answer({"zzzzzzzz"}, CheckAnswer::out, "--checked"), doctest::Contains("there are: all, gas"),
                         InputError);
}
