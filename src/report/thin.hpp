// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>

#include "bakewright/base/trace.hpp"

namespace bakewright::report {

/// A trace with fewer samples that looks the same when drawn. Its time is cut into equal stretches; each keeps its lowest and its
/// highest usable sample at their own times, and one unusable sample where it has any, so that no peak and no gap is lost. First
/// and last stay. A trace of no more than most_points samples comes back as it is. A trace full of gaps may keep half as many
/// samples again.
/// @param most_points  at least 4
[[nodiscard]] Trace thin(const Trace& trace, std::size_t most_points);

}  // namespace bakewright::report
