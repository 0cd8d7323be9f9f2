#include "trace_statistics.hpp"

#include <algorithm>

namespace bakewright::book {
namespace {

double mean_of_lines(const Trace& usable) {
    if (usable.size() == 1) return usable.temperature_k.front();
    double mean = 0.0;
    const double span_s = usable.time_s.back() - usable.time_s.front();
    for (std::size_t i = 1; i < usable.size(); ++i) {
        const double share = (usable.time_s[i] - usable.time_s[i - 1]) / span_s;
        mean += share * 0.5 * (usable.temperature_k[i] + usable.temperature_k[i - 1]);
    }
    return mean;
}

}  // namespace

TraceSummary summarise(const Trace& trace) {
    TraceSummary summary;
    summary.name = trace.name;
    summary.role = trace.role;
    summary.sample_count = trace.size();
    if (trace.size() == 0) return summary;
    summary.first_time_s = trace.time_s.front();
    summary.last_time_s = trace.time_s.back();
    const Trace usable = trace.usable_samples();
    summary.usable_count = usable.size();
    if (usable.size() == 0) return summary;
    const auto [coldest, hottest] = std::minmax_element(usable.temperature_k.begin(), usable.temperature_k.end());
    summary.min_temperature_k = *coldest;
    summary.max_temperature_k = *hottest;
    summary.mean_temperature_k = mean_of_lines(usable);
    return summary;
}

}  // namespace bakewright::book
