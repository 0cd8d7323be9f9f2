// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/reliability.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

using namespace bakewright::cure;

TEST_CASE("a table of reliability counts how often a stated chance came true") {
    std::vector<CheckedChance> chances;
    for (int i = 0; i < 10; ++i) chances.push_back({0.97, i != 0});  // nine of ten
    for (int i = 0; i < 4; ++i) chances.push_back({0.6, i < 2});
    chances.push_back({0.02, false});
    const Reliability found = reliability(chances);
    REQUIRE(found.rows.size() == 3);
    CHECK(found.count == 15);
    CHECK(found.rows[0].stated == 10);
    CHECK(found.rows[0].came_true == 9);
    CHECK(std::abs(found.rows[0].mean_chance - 0.97) <= 1e-12);
    // Source: Newcombe, Stat. Med. 17 (1998) 857, Wilson's interval without continuity correction; 9 of 10 by its formula:
    // 0.5958 to 0.9821.
    CHECK(std::abs(found.rows[0].low - 0.5958) <= 5e-5);
    CHECK(std::abs(found.rows[0].high - 0.9821) <= 5e-5);
    CHECK(found.rows[0].can_be_right());
    // Brier's score by hand: (9 * 0.0009 + 0.9409 + 2 * 0.16 + 2 * 0.36 + 0.0004) / 15.
    CHECK(std::abs(found.brier - (9 * 0.0009 + 0.9409 + 2 * 0.16 + 2 * 0.36 + 0.0004) / 15.0) <= 1e-12);
}

TEST_CASE("chances that were too sure are shown to be") {
    std::vector<CheckedChance> chances;
    for (int i = 0; i < 20; ++i) chances.push_back({0.96, i < 12});
    const Reliability found = reliability(chances);
    REQUIRE(found.rows.size() == 1);
    CHECK_FALSE(found.rows[0].can_be_right());
    CHECK(reliability({}).rows.empty());
    // Certainty itself belongs to the surest range.
    CHECK(reliability(std::vector<CheckedChance>{{1.0, true}}).rows.front().stated == 1);
}
