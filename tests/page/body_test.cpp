// SPDX-License-Identifier: Apache-2.0
#include "body.hpp"

#include <doctest/doctest.h>

#include "bakewright/base/error.hpp"

using bakewright::InputError;
using bakewright::page::Body;

TEST_CASE("a body's values come with their types, and what is wrong is told with its key") {
    const Body body(
        R"({"hold_s": 60, "name": "roof", "out": ["a", "b"], "yes": true, "none": null, "map": {"x": "1", "y": ["2", "3"]}})");
    CHECK(body.number("hold_s", 0.0, 100.0) == 60.0);
    CHECK(body.text("name") == "roof");
    CHECK(body.texts("out") == std::vector<std::string>{"a", "b"});
    CHECK(body.texts("absent").empty());
    CHECK(body.flag("yes"));
    CHECK_FALSE(body.has("none"));
    CHECK(body.pairs("map") == std::vector<std::pair<std::string, std::string>>{{"x", "1"}, {"y", "2"}, {"y", "3"}});
    CHECK_THROWS_WITH_AS(static_cast<void>(body.number("hold_s", 0.0, 50.0)), "hold_s: is 60, accepted is 0 to 50", InputError);
    CHECK_THROWS_WITH_AS(static_cast<void>(body.number("name", 0.0, 50.0)), "name: is string, a number is wanted", InputError);
    CHECK_THROWS_WITH_AS(static_cast<void>(body.text("hold_s")), "hold_s: is number, a text is wanted", InputError);
    CHECK_THROWS_WITH_AS(static_cast<void>(body.text("absent")), "absent: is missing", InputError);
    CHECK_THROWS_AS(static_cast<void>(body.texts("name")), InputError);
    CHECK_THROWS_AS(static_cast<void>(body.pairs("out")), InputError);
    CHECK_THROWS_AS(static_cast<void>(body.flag("name")), InputError);
}

TEST_CASE("what is no JSON object is refused") {
    for (const char* text : {"", "{", "[]", "1", "null", "\"text\"", "{\"a\":1e999}", "{\"a\":NaN}", "{'a':1}", "{\"a\":1}{",
                             "\xff\xfe", "{\"a\":\"\xff\"}"}) {
        CAPTURE(text);
        CHECK_THROWS_AS(Body{text}, InputError);
    }
}

TEST_CASE("deep nesting is refused before it is built") {
    const std::string deep = "{\"a\":" + std::string(200000, '[') + std::string(200000, ']') + "}";
    CHECK_THROWS_AS(Body{deep}, InputError);
    CHECK_NOTHROW(Body{"{\"a\":[[[[1]]]]}"});
}

TEST_CASE("a text has a length, a file's text has not") {
    const Body body("{\"a\":\"" + std::string(5000, 'x') + "\"}");
    CHECK_THROWS_AS(static_cast<void>(body.text("a")), InputError);
    CHECK(body.long_text("a").size() == 5000);
}
