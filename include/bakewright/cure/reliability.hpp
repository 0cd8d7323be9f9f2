// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "bakewright/cure/verdict.hpp"

namespace bakewright::cure {

/// A chance that was stated, and how it came out.
struct CheckedChance {
    double chance = 0.0;  ///< 0 to 1
    bool came_true = false;
};

/// Chances of one range, and how often they came true.
struct ReliabilityRow {
    double from = 0.0, to = 0.0;  ///< from <= chance < to; the last range holds its end too
    std::size_t stated = 0, came_true = 0;
    double mean_chance = 0.0;
    double low = 0.0, high = 1.0;  ///< 95 % confidence interval of the share that comes true

    [[nodiscard]] double share() const noexcept {
        return stated > 0 ? static_cast<double>(came_true) / static_cast<double>(stated) : 0.0;
    }
    /// Whether the stated chances can be what happens: their mean is in the interval.
    [[nodiscard]] bool can_be_right() const noexcept { return mean_chance >= low && mean_chance <= high; }
};

/// How far stated chances can be believed.
struct Reliability {
    std::vector<ReliabilityRow> rows;  ///< those that hold chances, surest first
    std::size_t count = 0;
    /// Mean square of chance less outcome: 0 for a seer, 0.25 for a coin; a proper score, least in the mean for who says what he
    /// believes. Source: Brier, Mon. Weather Rev. 78 (1950) 1.
    double brier = 0.0;
};

/// The table of reliability. Ranges: surer than kSure, a coin's toss or better, worse, and as sure of the contrary. Intervals:
/// Wilson, J. Am. Stat. Assoc. 22 (1927) 209.
[[nodiscard]] Reliability reliability(std::span<const CheckedChance> chances);

}  // namespace bakewright::cure
