// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/reliability.hpp"

#include <cmath>

namespace bakewright::cure {
namespace {

constexpr double kTwoSided95 = 1.959963984540054;  // of a normal distribution

void set_interval(ReliabilityRow& row) {
    const double n = static_cast<double>(row.stated), share = row.share(), z2 = kTwoSided95 * kTwoSided95;
    const double middle = (share + z2 / (2.0 * n)) / (1.0 + z2 / n);
    const double half = kTwoSided95 / (1.0 + z2 / n) * std::sqrt(share * (1.0 - share) / n + z2 / (4.0 * n * n));
    row.low = row.came_true == 0 ? 0.0 : middle - half;
    row.high = row.came_true == row.stated ? 1.0 : middle + half;
}

}  // namespace

Reliability reliability(std::span<const CheckedChance> chances) {
    const double ends[]{1.0, kSure, 0.5, 1.0 - kSure, 0.0};
    Reliability found;
    for (std::size_t r = 0; r + 1 < std::size(ends); ++r) {
        ReliabilityRow row{.from = ends[r + 1], .to = ends[r]};
        for (const CheckedChance& one : chances) {
            if (one.chance < row.from || (one.chance >= row.to && r > 0)) continue;
            ++row.stated;
            row.came_true += one.came_true ? 1 : 0;
            row.mean_chance += one.chance;
        }
        if (row.stated == 0) continue;
        row.mean_chance /= static_cast<double>(row.stated);
        set_interval(row);
        found.rows.push_back(row);
    }
    for (const CheckedChance& one : chances) found.brier += std::pow(one.chance - (one.came_true ? 1.0 : 0.0), 2);
    found.count = chances.size();
    if (found.count > 0) found.brier /= static_cast<double>(found.count);
    return found;
}

}  // namespace bakewright::cure
