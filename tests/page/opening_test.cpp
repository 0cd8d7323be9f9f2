// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include "guard.hpp"

using namespace bakewright::page;
using std::chrono::minutes;
using std::chrono::seconds;

TEST_CASE("a code works once") {
    OpeningCode code;
    CHECK_FALSE(code.spend(""));
    const std::string given = code.renew();
    CHECK_FALSE(code.spend(given + "0"));
    CHECK(code.spend(given));
    CHECK_FALSE(code.spend(given));
    CHECK_FALSE(code.spend(""));
}

TEST_CASE("a code works for ten minutes") {
    OpeningCode code;
    const auto now = OpeningCode::Clock::now();
    CHECK(code.spend(code.renew(now), now + minutes(10)));
    CHECK_FALSE(code.spend(code.renew(now), now + minutes(10) + seconds(1)));
}

TEST_CASE("another code takes its place") {
    OpeningCode code;
    const std::string first = code.renew(), second = code.renew();
    CHECK(first != second);
    CHECK_FALSE(code.spend(first));
    CHECK(code.spend(second));
}
