// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <algorithm>
#include <cstddef>
#include <unordered_map>
#include <utility>
#include <vector>

namespace bakewright::probe {

/// Median of the steps between samples, in memory of the different steps alone: a logger makes few. Steps count as equal where
/// they are to seven digits.
class UsualStep {
public:
    /// @param times  how often it is there
    void add(double step_s, std::size_t times = 1) {
        const auto key = static_cast<float>(step_s);
        if (last_ == nullptr || last_->first != key) last_ = &*counts_.try_emplace(key, 0).first;
        last_->second += times;
        size_ += times;
    }
    /// The upper one of the two in the middle where their number is even; 0 where there is none [s].
    [[nodiscard]] double median_s() const {
        std::vector<std::pair<float, std::size_t>> steps(counts_.begin(), counts_.end());
        std::sort(steps.begin(), steps.end());
        std::size_t before = 0;
        for (const auto& [step_s, count] : steps) {
            before += count;
            if (before > size_ / 2) return static_cast<double>(step_s);
        }
        return 0.0;
    }

private:
    std::unordered_map<float, std::size_t> counts_;
    std::pair<const float, std::size_t>* last_ = nullptr;
    std::size_t size_ = 0;
};

}  // namespace bakewright::probe
