// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/thin.hpp"

#include <algorithm>
#include <limits>
#include <vector>

#include "bakewright/base/error.hpp"

namespace bakewright::report {
namespace {

constexpr std::size_t kNoSample = std::numeric_limits<std::size_t>::max();

/// What one stretch of time keeps.
struct Stretch {
    std::size_t lowest = kNoSample;
    std::size_t highest = kNoSample;
    std::size_t unusable = kNoSample;

    void see(const Trace& trace, std::size_t i) {
        if (!trace.usable(i)) {
            if (unusable == kNoSample) unusable = i;
            return;
        }
        if (lowest == kNoSample || trace.temperature_k[i] < trace.temperature_k[lowest]) lowest = i;
        if (highest == kNoSample || trace.temperature_k[i] > trace.temperature_k[highest]) highest = i;
    }
};

std::vector<std::size_t> kept_indices(const Trace& trace, std::size_t stretch_count) {
    std::vector<Stretch> stretches(stretch_count);
    const double begin_s = trace.time_s.front();
    const double per_second = static_cast<double>(stretch_count) / (trace.time_s.back() - begin_s);
    for (std::size_t i = 0; i < trace.size(); ++i) {
        const auto which = static_cast<std::size_t>((trace.time_s[i] - begin_s) * per_second);
        stretches[std::min(which, stretch_count - 1)].see(trace, i);
    }
    std::vector<std::size_t> kept = {0, trace.size() - 1};
    for (const Stretch& stretch : stretches)
        for (const std::size_t index : {stretch.lowest, stretch.highest, stretch.unusable})
            if (index != kNoSample) kept.push_back(index);
    std::sort(kept.begin(), kept.end());
    kept.erase(std::unique(kept.begin(), kept.end()), kept.end());
    return kept;
}

}  // namespace

Trace thin(const Trace& trace, std::size_t most_points) {
    ensure(most_points >= 4, "a thinned trace has at least four points");
    if (trace.size() <= most_points) return trace;
    Trace thinned{.name = trace.name, .role = trace.role, .time_s = {}, .temperature_k = {}, .quality = {}};
    for (const std::size_t i : kept_indices(trace, (most_points - 2) / 2)) {
        thinned.time_s.push_back(trace.time_s[i]);
        thinned.temperature_k.push_back(trace.temperature_k[i]);
        if (!trace.quality.empty()) thinned.quality.push_back(trace.quality[i]);
    }
    return thinned;
}

}  // namespace bakewright::report
