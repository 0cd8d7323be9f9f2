// SPDX-License-Identifier: Apache-2.0
#include "uploads.hpp"

#include <doctest/doctest.h>

using bakewright::InputError;
using bakewright::page::Uploads;

TEST_CASE("the last four files are at hand, fewer where they are large") {
    Uploads uploads;
    for (int i = 1; i <= 5; ++i) CHECK(uploads.add("/home/x\\log.csv", "t,T") == i);
    CHECK_THROWS_AS(static_cast<void>(uploads.get("1")), InputError);
    CHECK(uploads.get("2")->name == "log.csv");
    CHECK(uploads.add("large.csv", std::string(Uploads::kMostBytes - 9, 'x')) == 6);
    CHECK_NOTHROW(static_cast<void>(uploads.get("3")));  // nine bytes of three files beside it
    CHECK(uploads.add("small.csv", "t,T,T") == 7);
    CHECK_THROWS_AS(static_cast<void>(uploads.get("4")), InputError);
    CHECK_NOTHROW(static_cast<void>(uploads.get("6")));
    CHECK(uploads.add("larger.csv", std::string(Uploads::kMostBytes + 1, 'x')) == 8);
    CHECK_NOTHROW(static_cast<void>(uploads.get("8")));
    CHECK_THROWS_AS(static_cast<void>(uploads.get("7")), InputError);
}
