#include "trace_summary.hpp"

#include <algorithm>

#include "bakewright/codec/block.hpp"

namespace bakewright::book {
TraceSummary summary_of(const Trace& named, const codec::PartStatistics& whole) {
    TraceSummary summary;
    summary.name = named.name;
    summary.role = named.role;
    summary.sample_count = whole.sample_count;
    summary.usable_count = whole.usable_count;
    summary.first_time_s = whole.first_time_s;
    summary.last_time_s = whole.last_time_s;
    if (whole.usable_count == 0) return summary;
    summary.min_temperature_k = whole.min_temperature_k;
    summary.max_temperature_k = whole.max_temperature_k;
    const double span_s = whole.last_usable->time_s - whole.first_usable->time_s;
    summary.mean_temperature_k = whole.usable_count == 1 ? whole.first_usable->temperature_k : whole.area_ks / span_s;
    return summary;
}

TraceSummary summarise(const Trace& trace) {
    codec::PartStatistics whole;
    for (std::size_t first = 0; first < trace.size(); first += codec::kBlockSamples)
        codec::append(
            whole, codec::statistics_of(codec::samples_of(trace, first, std::min(codec::kBlockSamples, trace.size() - first))));
    return summary_of(trace, whole);
}

}  // namespace bakewright::book
