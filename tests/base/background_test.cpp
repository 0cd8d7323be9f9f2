#include "bakewright/base/background.hpp"

#include <doctest/doctest.h>

#include <stdexcept>
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
