// SPDX-License-Identifier: Apache-2.0
#include "bakewright/probe/quality.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "bakewright/base/error.hpp"
#include "bakewright/base/units.hpp"
#include "quality_rules.hpp"

namespace bakewright::probe {
namespace {

constexpr double kGapSteps = 5.0;

void find_gap(const GoodSamples& good, QualityCounts& counts) {
    if (!(good.scanned().longest_step_s > kGapSteps * good.scanned().usual_step_s)) return;
    counts.longest_gap_s = good.scanned().longest_step_s;
    counts.longest_gap_from_s = good.scanned().longest_step_from_s;
}

std::size_t count(const Trace& trace, SampleQuality quality) {
    return static_cast<std::size_t>(std::count(trace.quality.begin(), trace.quality.end(), quality));
}

void require(bool holds, const char* key, const char* accepted) {
    if (!holds) throw InputError(Problem{{}, 0, key, accepted});
}

}  // namespace

void QualityRules::check() const {
    require(spike_k > 0.0 && std::isfinite(spike_k), "spike limit", "accepted is a temperature difference above 0 K");
    require(spike_noise >= 0.0 && std::isfinite(spike_noise), "spike noise", "accepted is 0 or more");
    require(spike_time_s > 0.0, "spike time", "accepted is a time above 0 s");
    require(stuck_time_s > 0.0, "stuck time", "accepted is a time above 0 s");
    require(stuck_other_k > 0.0, "stuck limit", "accepted is a temperature difference above 0 K");
    require(!range_least_k || !range_most_k || *range_least_k < *range_most_k, "range",
            "the lower end has to be below the upper one");
}

void flag_alone(const GoodSamples& good, const QualityRules& rules, FlagList& flags, QualityCounts& counts) {
    find_gap(good, counts);
    if (!rules.enabled) return;
    find_clipped(good, rules, flags);
    find_spikes(good, rules, flags);
}

void flag_together(const std::vector<GoodSamples>& good, const QualityRules& rules, std::vector<FlagList>& flags,
                   std::vector<std::string>& remarks) {
    if (!rules.enabled) return;
    find_stuck(good, rules, flags);
    remark_shared_ends(good, flags, remarks);
}

std::vector<QualityCounts> flag_quality(std::vector<Trace>& traces, const QualityRules& rules,
                                        std::vector<std::string>& remarks) {
    std::vector<QualityCounts> counts(traces.size());
    std::vector<FlagList> flags(traces.size());
    std::vector<GoodSamples> good;
    for (std::size_t i = 0; i < traces.size(); ++i)
        flag_alone(good.emplace_back(traces[i], look_out(rules)), rules, flags[i], counts[i]);
    flag_together(good, rules, flags, remarks);
    for (std::size_t i = 0; i < traces.size(); ++i) {
        if (!flags[i].empty() && traces[i].quality.empty()) traces[i].quality.assign(traces[i].size(), SampleQuality::good);
        set_flags(flags[i], 0, traces[i].quality);
        counts[i].spikes = count(traces[i], SampleQuality::spike);
        counts[i].stuck = count(traces[i], SampleQuality::stuck);
        counts[i].clipped = count(traces[i], SampleQuality::clipped);
    }
    return counts;
}

}  // namespace bakewright::probe
