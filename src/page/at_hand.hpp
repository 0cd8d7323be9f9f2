// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <charconv>
#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <utility>

#include "bakewright/base/error.hpp"

namespace bakewright::page {

/// Things that are not kept in the book (yet), under numbers. The oldest are forgotten where there are too many, or where they
/// take too much memory together. Any thread may call.
template <class Thing>
class AtHand {
public:
    static constexpr std::size_t kMostKept = 4;
    static constexpr std::size_t kMostBytes = std::size_t{128} << 20;

    /// @param key, gone  of the problem where one is asked for that is not there: both of static life
    AtHand(const char* key, const char* gone) : key_(key), gone_(gone) {}

    /// @param bytes  that it takes, where that may be many
    int add(Thing thing, std::size_t bytes = 0) {
        const std::lock_guard lock(mutex_);
        while (!things_.empty() && (things_.size() >= kMostKept || bytes_ + bytes > kMostBytes)) {
            bytes_ -= things_.begin()->second.bytes;
            things_.erase(things_.begin());
        }
        bytes_ += bytes;
        things_.emplace(++last_, Kept{std::make_shared<const Thing>(std::move(thing)), bytes});
        return last_;
    }

    /// @throws InputError for one that is not there (any more)
    [[nodiscard]] std::shared_ptr<const Thing> get(const std::string& number) {
        int wanted = 0;
        std::from_chars(number.data(), number.data() + number.size(), wanted);
        const std::lock_guard lock(mutex_);
        const auto at = things_.find(wanted);
        if (at == things_.end()) throw InputError(Problem{{}, 0, key_, gone_});
        return at->second.thing;
    }

private:
    struct Kept {
        std::shared_ptr<const Thing> thing;
        std::size_t bytes;
    };

    const char* key_;
    const char* gone_;
    std::mutex mutex_;
    std::map<int, Kept> things_;
    std::size_t bytes_ = 0;
    int last_ = 0;
};

}  // namespace bakewright::page
