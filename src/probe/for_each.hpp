// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <atomic>
#include <cstddef>
#include <functional>
#include <future>
#include <vector>

namespace bakewright::probe {

/// Does a piece of work for every number below `count`, on up to so many threads; the first thing thrown comes out.
inline void for_each(std::size_t count, unsigned threads, const std::function<void(std::size_t)>& work) {
    std::atomic<std::size_t> next = 0;
    const auto run = [&] {
        for (std::size_t i = next++; i < count; i = next++) work(i);
    };
    std::vector<std::future<void>> others;
    for (unsigned thread = 1; thread < threads && thread < count; ++thread) others.push_back(std::async(std::launch::async, run));
    run();
    for (std::future<void>& other : others) other.get();
}

}  // namespace bakewright::probe
