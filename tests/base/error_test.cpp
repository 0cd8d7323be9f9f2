// SPDX-License-Identifier: Apache-2.0
#include "bakewright/base/error.hpp"

#include <doctest/doctest.h>

#include <string>
#include <vector>

using namespace bakewright;

TEST_CASE("a problem names file, line and key and leaves out what is empty") {
    CHECK(Problem{"van.toml", 14, "zone.roof", "is wrong"}.text() == "van.toml:14: zone.roof: is wrong");
    CHECK(Problem{"van.toml", 0, "", "is empty"}.text() == "van.toml: is empty");
    CHECK(Problem{"", 0, "--hold", "has no unit"}.text() == "--hold: has no unit");
    CHECK(Problem{"", 3, "", "is cut short"}.text() == "line 3: is cut short");
    CHECK(Problem{"", 0, "", "nothing to do"}.text() == "nothing to do");
}

TEST_CASE("an input error holds every problem and says each on its own line") {
    const InputError error(std::vector<Problem>{{"a.toml", 1, "", "first"}, {"a.toml", 2, "", "second"}});
    CHECK(error.problems().size() == 2);
    CHECK(std::string(error.what()) == "a.toml:1: first\na.toml:2: second");
}

TEST_CASE("an input error without a problem is a broken promise") {
    CHECK_THROWS_AS(InputError(std::vector<Problem>{}), PromiseError);
}

TEST_CASE("a broken promise names itself and its place") {
    CHECK_NOTHROW(ensure(true, "one is one"));
    std::string message;
    const int line = __LINE__ + 2;
    try {
        ensure(false, "one is two");
    } catch (const PromiseError& error) {
        message = error.what();
    }
    CHECK(message.find("one is two") != std::string::npos);
    CHECK(message.find("error_test.cpp:" + std::to_string(line)) != std::string::npos);
    CHECK_MESSAGE(message.find('/') == std::string::npos, "no folder of the machine it was built on");
}

TEST_CASE("the nearest name is offered for a slip of the finger") {
    const std::vector<std::string> known = {"thickness", "material", "area", "roof"};
    CHECK(nearest_name("thicknes", known) == "thickness");   // one letter left out
    CHECK(nearest_name("htickness", known) == "thickness");  // two neighbours swapped
    CHECK(nearest_name("Material", known) == "material");    // a capital
    CHECK(nearest_name("rof", known) == "roof");
    CHECK(nearest_name("raof", known) == "roof");
}

TEST_CASE("swapped neighbours are one slip, not two") {
    CHECK(nearest_name("aera", {"area"}) == "area");  // 4 letters allow one slip
    CHECK(nearest_name("xrxa", {"area"}).empty());
}

TEST_CASE("no name is offered where none is near") {
    CHECK(nearest_name("colour", {"thickness", "area"}).empty());
    CHECK(nearest_name("", {"area"}).empty());
    CHECK(nearest_name("area", {}).empty());
    CHECK(nearest_name(std::string(1000000, 'a'), {"area"}).empty());
}
