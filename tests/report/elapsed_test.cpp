// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include <limits>

#include "bakewright/report/text.hpp"

using namespace bakewright::report;

TEST_CASE("time since the start is written as hours and minutes") {
    CHECK(elapsed_text(0.0) == "0:00");
    CHECK(elapsed_text(45.0 * 60.0) == "0:45");
    CHECK(elapsed_text(85.0 * 60.0 + 29.0) == "1:25");
    CHECK(elapsed_text(-180.0) == "-0:03");
    CHECK(elapsed_text(-10.0) == "0:00");
    CHECK(elapsed_text(std::numeric_limits<double>::quiet_NaN()) == "n/a");
}

TEST_CASE("the shop's clock follows from the start, over midnight too") {
    CHECK(clock_text("2026-03-04T17:25", 75.0 * 60.0) == "18:40");
    CHECK(clock_text("2026-03-04 17:25:40+01:00", 30.0) == "17:26");
    CHECK(clock_text("2026-03-04T23:50", 1200.0) == "00:10 (+1 day)");
    CHECK(clock_text("2026-03-04T00:05", -600.0) == "23:55 (-1 day)");
    CHECK(clock_text("", 60.0).empty());
}

TEST_CASE("a start that is no ISO 8601 time is not guessed at") {
    for (const char* text : {"", "yesterday", "2026-03-04", "2026-03-04T25:00", "2026-03-04T12:61", "04.03.2026 12:00"})
        CHECK_FALSE(clock_minutes(text).has_value());
    CHECK(clock_minutes("2026-03-04T14:05") == 845);
}
