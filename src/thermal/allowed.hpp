#pragma once

#include <fmt/format.h>

#include <vector>

#include "bakewright/base/error.hpp"

namespace bakewright::thermal {

/// A problem of `key` unless its value is fine. @param allowed  what would be, with its unit
inline void add_unless(std::vector<Problem>& problems, bool fine, const char* key, double value, const char* allowed) {
    if (!fine) problems.push_back({"", 0, key, fmt::format("is {:g}, allowed {}", value, allowed)});
}

}  // namespace bakewright::thermal
