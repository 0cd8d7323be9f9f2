// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "bakewright/bake/built_network.hpp"

namespace bakewright::bench {

/// A bake to be solved.
struct Bake {
    bake::BuiltNetwork built;
    std::vector<thermal::Segment> segments;
};

/// The demo van in the stirred booth, set point followed exactly.
[[nodiscard]] Bake demo_bake();
/// A generated shell of so many zones in a booth whose burner is at its limit in the ramp, four hours: skins of steel and
/// aluminium, laminate, sandwich, double skins, frame, cavities; films by correlation everywhere. Invented.
[[nodiscard]] Bake generated_bake(std::size_t zone_count);

}  // namespace bakewright::bench
