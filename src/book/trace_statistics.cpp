#include "trace_statistics.hpp"

#include <algorithm>
#include <cmath>

#include "trace_codec.hpp"

namespace bakewright::book {
namespace {

double area_between(const PartStatistics::Sample& a, const PartStatistics::Sample& b) {
    return (b.time_s - a.time_s) * 0.5 * (a.temperature_k + b.temperature_k);
}

}  // namespace

PartStatistics statistics_of_part(const Trace& trace, std::size_t first, std::size_t count) {
    PartStatistics part;
    part.sample_count = count;
    part.first_time_s = trace.time_s[first];
    part.last_time_s = trace.time_s[first + count - 1];
    const bool has_flags = !trace.quality.empty();
    for (std::size_t i = first; i < first + count; ++i) {
        // As Trace::usable(), without a call for each of very many samples.
        if ((has_flags && trace.quality[i] != SampleQuality::good) || !std::isfinite(trace.temperature_k[i])) continue;
        const PartStatistics::Sample here{trace.time_s[i], trace.temperature_k[i]};
        ++part.usable_count;
        part.min_temperature_k = std::min(part.min_temperature_k, here.temperature_k);
        part.max_temperature_k = std::max(part.max_temperature_k, here.temperature_k);
        if (part.last_usable) part.area_ks += area_between(*part.last_usable, here);
        if (!part.first_usable) part.first_usable = here;
        part.last_usable = here;
    }
    return part;
}

void append(PartStatistics& whole, const PartStatistics& part) {
    if (whole.sample_count == 0) {
        whole = part;
        return;
    }
    whole.sample_count += part.sample_count;
    whole.last_time_s = part.last_time_s;
    if (part.usable_count == 0) return;
    whole.usable_count += part.usable_count;
    whole.min_temperature_k = std::min(whole.min_temperature_k, part.min_temperature_k);
    whole.max_temperature_k = std::max(whole.max_temperature_k, part.max_temperature_k);
    if (whole.last_usable) whole.area_ks += area_between(*whole.last_usable, *part.first_usable);
    whole.area_ks += part.area_ks;
    if (!whole.first_usable) whole.first_usable = part.first_usable;
    whole.last_usable = part.last_usable;
}

TraceSummary summary_of(const Trace& named, const PartStatistics& whole) {
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
    PartStatistics whole;
    for (std::size_t first = 0; first < trace.size(); first += kBlockSamples)
        append(whole, statistics_of_part(trace, first, std::min(kBlockSamples, trace.size() - first)));
    return summary_of(trace, whole);
}

}  // namespace bakewright::book
