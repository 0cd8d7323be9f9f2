#pragma once

#include <charconv>
#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <utility>

#include "bakewright/base/error.hpp"

namespace bakewright::page {

/// Things that are not kept in the book (yet), under numbers. The oldest are forgotten where there are too many. Any thread may
/// call.
template <class Thing>
class AtHand {
public:
    static constexpr std::size_t kMostKept = 4;

    /// @param key, gone  of the problem where one is asked for that is not there: both of static life
    AtHand(const char* key, const char* gone) : key_(key), gone_(gone) {}

    int add(Thing thing) {
        const std::lock_guard lock(mutex_);
        while (things_.size() >= kMostKept) things_.erase(things_.begin());
        things_.emplace(++last_, std::make_shared<const Thing>(std::move(thing)));
        return last_;
    }

    /// @throws InputError for one that is not there (any more)
    [[nodiscard]] std::shared_ptr<const Thing> get(const std::string& number) {
        int wanted = 0;
        std::from_chars(number.data(), number.data() + number.size(), wanted);
        const std::lock_guard lock(mutex_);
        const auto at = things_.find(wanted);
        if (at == things_.end()) throw InputError(Problem{{}, 0, key_, gone_});
        return at->second;
    }

private:
    const char* key_;
    const char* gone_;
    std::mutex mutex_;
    std::map<int, std::shared_ptr<const Thing>> things_;
    int last_ = 0;
};

}  // namespace bakewright::page
