// SPDX-License-Identifier: Apache-2.0
#include "source_clock.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <random>

using namespace bakewright::record;

namespace {

struct Came {
    std::vector<SourceClock::TimedRow> timed;
    std::vector<SourceClock::Change> changes;

    void take(SourceClock& clock, double arrived_s, double told_s) {
        clock.take({{.arrived_s = arrived_s, .told_s = told_s, .readings = {}}}, timed, changes);
    }
};

}  // namespace

TEST_CASE("rows without a time of their own have that of their arrival") {
    SourceClock clock;
    Came came;
    clock.take({{.arrived_s = 5.0, .readings = {}}}, came.timed, came.changes);
    CHECK(came.timed.at(0).time_s == 5.0);
}

TEST_CASE("rows that tell their time keep their distances however they are delayed") {
    // Delays of 0 to 0.8 s, seeded: the least of them is what the clocks differ by.
    std::mt19937 random(3);
    std::uniform_real_distribution<double> delay(0.0, 0.8);
    SourceClock clock;
    Came came;
    for (int i = 0; i < 1000; ++i) came.take(clock, 50.0 + i + delay(random), 7e8 + i);
    CHECK(came.changes.empty());
    REQUIRE(came.timed.size() == 1000);
    // After the first hundred rows some delay below 0.03 s has come (but for one chance in twenty).
    for (std::size_t i = 100; i < 1000; ++i) CHECK(std::abs(came.timed[i].time_s - (50.0 + static_cast<double>(i))) <= 0.1);
}

TEST_CASE("what a file held before lies before now, its newest row at its arrival") {
    SourceClock clock;
    std::vector<SourceRow> rows;
    for (int i = 0; i <= 600; ++i) rows.push_back({.arrived_s = 2.0, .told_s = 100.0 + i, .readings = {}});
    Came came;
    clock.take(rows, came.timed, came.changes);
    CHECK(came.timed.front().time_s == -598.0);
    CHECK(came.timed.back().time_s == 2.0);
}

TEST_CASE("a clock that gains or loses is followed without a step back, told, and its rate is known") {
    for (const double gain : {3e-3, -3e-3}) {  // 10.8 s an hour
        CAPTURE(gain);
        SourceClock clock;
        Came came;
        for (int i = 0; i < 7200; ++i) came.take(clock, i, i * (1.0 + gain));
        REQUIRE(clock.gain_s_per_h());
        CHECK(std::abs(*clock.gain_s_per_h() - 3600.0 * gain) <= 0.2);
        CHECK(came.changes.size() >= 8);
        for (const SourceClock::Change& change : came.changes) {
            CHECK_FALSE(change.is_step);
            CHECK(change.by_s * gain > 0.0);
        }
        for (std::size_t i = 1; i < came.timed.size(); ++i) CHECK(came.timed[i].time_s > came.timed[i - 1].time_s);
        // Followed ten minutes late: 1.8 s at this rate, and what came since.
        for (std::size_t i = 0; i < came.timed.size(); ++i) CHECK(std::abs(came.timed[i].time_s - static_cast<double>(i)) <= 4.0);
    }
}

TEST_CASE("a clock that is set an hour either way moves no row by more than an interval") {
    for (const double step_s : {3600.0, -3600.0}) {
        CAPTURE(step_s);
        SourceClock clock;
        Came came;
        for (int i = 0; i < 100; ++i) came.take(clock, i, i + (i < 50 ? 0.0 : step_s));
        clock.release(came.timed);
        REQUIRE(came.changes.size() == 1);
        CHECK(came.changes[0].is_step);
        CHECK(std::abs(came.changes[0].by_s - step_s) <= 1.0);
        REQUIRE(came.timed.size() == 100);
        for (std::size_t i = 0; i < 100; ++i) CHECK(std::abs(came.timed[i].time_s - static_cast<double>(i)) <= 1.0);
    }
}

TEST_CASE("rows out of a transmitter's memory come late, and are put where they belong") {
    SourceClock clock;
    Came came;
    for (int i = 0; i < 50; ++i) came.take(clock, i, i);
    for (int i = 50; i < 350; ++i) came.take(clock, 350.0 + 0.01 * (i - 50), i);
    for (int i = 354; i < 400; ++i) came.take(clock, i, i);
    CHECK(came.changes.empty());
    REQUIRE(came.timed.size() == 396);
    for (const SourceClock::TimedRow& row : came.timed) CHECK(row.time_s == *row.row.told_s);
}

TEST_CASE("a replay's own times hold however late it is taken") {
    SourceClock clock(true);
    Came came;
    for (int i = 0; i < 100; ++i) came.take(clock, 10.0 + i + (i > 50 ? 30.0 : 0.0), i);
    CHECK(came.timed.back().time_s == 109.0);
    CHECK(came.changes.empty());
}
