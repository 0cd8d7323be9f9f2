// SPDX-License-Identifier: Apache-2.0
#include "bakewright/base/work.hpp"

#include <doctest/doctest.h>

#include <stdexcept>
#include <string>
#include <vector>

TEST_CASE("jobs are done one after the other, and what one throws comes out at the next call") {
    std::vector<int> done;
    {
        bakewright::Background background;
        background.wait();  // for nothing
        for (int i = 0; i < 100; ++i) background.begin([&done, i] { done.push_back(i); });
        background.begin([] { throw std::runtime_error("the disk is full"); });
        CHECK_THROWS_WITH_AS(background.begin([&done] { done.push_back(-1); }), "the disk is full", std::runtime_error);
        background.begin([&done] { done.push_back(100); });
        background.wait();
        CHECK(done.size() == 101);
        background.begin([] { throw std::runtime_error("nobody asks"); });
    }
    CHECK(done.back() == 100);
}

TEST_CASE("work on several threads gives what one thread gives, and the lowest failure comes out") {
    for (const std::size_t threads : {1U, 2U, 7U}) {
        CAPTURE(threads);
        std::vector<std::size_t> square(100, 0);
        CHECK(bakewright::for_each_index(square.size(), threads, {}, [&](std::size_t i, const bakewright::GoesOn&) {
                  return (square[i] = i * i, true);
              }) == square.size());
        for (std::size_t i = 0; i < square.size(); ++i) CHECK(square[i] == i * i);
        const auto fail_from_three = [](std::size_t i, const bakewright::GoesOn&) {
            if (i >= 3) throw std::runtime_error("index " + std::to_string(i));
            return true;
        };
        CHECK_THROWS_WITH_AS(static_cast<void>(bakewright::for_each_index(50, threads, {}, fail_from_three)), "index 3",
                             std::runtime_error);
    }
}

TEST_CASE("progress that says no ends the work, and what is done is told without a hole") {
    std::vector<double> told;
    const auto stop_at_a_fifth = [&](double fraction) {
        told.push_back(fraction);
        return fraction < 0.2;
    };
    CHECK(bakewright::for_each_index(10, 1, stop_at_a_fifth, [](std::size_t, const bakewright::GoesOn&) { return true; }) == 2);
    CHECK(told == std::vector<double>{0.1, 0.2});
}

TEST_CASE("work that asks leaves off in the middle, and what it left is not done") {
    bool is_wanted = true;
    const auto progress = [&](double) { return is_wanted; };
    const auto leave_the_third = [&](std::size_t index, const bakewright::GoesOn& goes_on) {
        if (index == 2) is_wanted = false;
        return goes_on();
    };
    CHECK(bakewright::for_each_index(10, 1, progress, leave_the_third) == 2);
}
