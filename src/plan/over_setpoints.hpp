#pragma once

#include <cstddef>
#include <functional>

#include "bakewright/base/progress.hpp"

namespace bakewright::plan {

/// Calls work(i) for i from 0 to count - 1, several at a time; each sees only what is its own, so that the results do not depend
/// on the number of threads. `progress` is told after each and may stop it: what was begun is ended, nothing more is begun.
/// @param thread_count  0: one a core
/// @returns how many from the first on are done, without a hole
/// @throws whatever work throws, the first by index
[[nodiscard]] std::size_t over_setpoints(std::size_t count, std::size_t thread_count, const Progress& progress,
                                         const std::function<void(std::size_t)>& work);

}  // namespace bakewright::plan
