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

double median(std::vector<double> values) {
    if (values.empty()) return 0.0;
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

void find_gap(const GoodSamples& good, QualityCounts& counts) {
    std::vector<double> steps;
    for (std::size_t i = 1; i < good.size(); ++i) steps.push_back(good.time_s(i) - good.time_s(i - 1));
    const double usual_s = median(steps);
    for (std::size_t i = 0; i < steps.size(); ++i) {
        if (!(steps[i] > kGapSteps * usual_s && steps[i] > counts.longest_gap_s)) continue;
        counts.longest_gap_s = steps[i];
        counts.longest_gap_from_s = good.time_s(i);
    }
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

std::vector<QualityCounts> flag_quality(std::vector<Trace>& traces, const QualityRules& rules,
                                        std::vector<std::string>& remarks) {
    std::vector<QualityCounts> counts(traces.size());
    std::vector<GoodSamples> good;
    for (Trace& trace : traces) good.emplace_back(trace);
    for (std::size_t i = 0; i < traces.size(); ++i) find_gap(good[i], counts[i]);
    if (!rules.enabled) return counts;
    std::vector<FlagList> flags(traces.size());
    for (std::size_t i = 0; i < traces.size(); ++i) {
        find_clipped(good[i], rules, flags[i]);
        find_spikes(good[i], rules, flags[i]);
    }
    find_stuck(good, rules, flags);
    remark_shared_ends(good, flags, remarks);
    for (std::size_t i = 0; i < traces.size(); ++i) {
        set_flags(flags[i], traces[i]);
        counts[i].spikes = count(traces[i], SampleQuality::spike);
        counts[i].stuck = count(traces[i], SampleQuality::stuck);
        counts[i].clipped = count(traces[i], SampleQuality::clipped);
    }
    return counts;
}

}  // namespace bakewright::probe
