// SPDX-License-Identifier: Apache-2.0
#include "bakewright/record/inbox.hpp"

#include <doctest/doctest.h>

#include <thread>

using namespace bakewright;
using namespace bakewright::record;

namespace {

std::vector<SourceRow> row_of(std::size_t readings) {
    SourceRow row;
    for (std::size_t i = 0; i < readings; ++i) row.readings.push_back({i, 300.0});
    return {row};
}

}  // namespace

TEST_CASE("an inbox holds so much and no more; what does not fit is counted, and nobody waits") {
    Inbox inbox(100);
    for (int i = 0; i < 40; ++i) static_cast<void>(inbox.put(0, row_of(3)));
    CHECK(inbox.waiting() == 99);
    CHECK(inbox.put(1, row_of(1)));
    CHECK_FALSE(inbox.put(1, row_of(1)));
    CHECK(inbox.take(std::chrono::milliseconds(0)).size() == 34);
    const auto lost = inbox.take_lost();
    CHECK(lost.at(0) == 21);
    CHECK(lost.at(1) == 1);
    CHECK(inbox.take_lost().empty());
    CHECK(inbox.put(0, row_of(100)));
}

TEST_CASE("one that can wait gets its room, or is let go") {
    Inbox inbox(10);
    std::size_t put = 0;
    std::thread replay([&] {
        while (inbox.put_waiting(0, row_of(4))) ++put;
    });
    std::size_t taken = 0;
    while (taken < 100) taken += inbox.take(std::chrono::milliseconds(100)).size();
    inbox.close();
    replay.join();
    CHECK(put >= 100);
    CHECK(inbox.take_lost().empty());
    CHECK_FALSE(inbox.put(0, row_of(1)));
}

TEST_CASE("of notices the first thousand that nobody took are held") {
    Inbox inbox;
    for (int i = 0; i < 5000; ++i) inbox.tell(0, {.what = "lost"});
    CHECK(inbox.take(std::chrono::milliseconds(0)).size() == 1000);
    inbox.tell(0, {.what = "back"});
    CHECK(inbox.take(std::chrono::milliseconds(0)).size() == 1);
}
