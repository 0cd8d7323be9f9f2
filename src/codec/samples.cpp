// SPDX-License-Identifier: Apache-2.0
#include "bakewright/codec/samples.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace bakewright::codec {

bool Samples::are_all_usable() const noexcept {
    // Counted without branches, so that it goes by several at a time.
    std::size_t others = 0;
    for (const SampleQuality flag : quality) others += flag == SampleQuality::good ? 0 : 1;
    for (const double value_k : temperature_k) others += std::abs(value_k) <= std::numeric_limits<double>::max() ? 0 : 1;
    return others == 0;
}

namespace {

double area_between(const PartStatistics::Sample& a, const PartStatistics::Sample& b) {
    return (b.time_s - a.time_s) * 0.5 * (a.temperature_k + b.temperature_k);
}

/// Takes usable samples that follow each other behind those before them.
void take_run(std::span<const double> time_s, std::span<const double> temperature_k, PartStatistics& part) {
    double least_k = part.min_temperature_k, most_k = part.max_temperature_k, area_ks = part.area_ks;
    PartStatistics::Sample last{time_s.front(), temperature_k.front()};
    if (part.last_usable) area_ks += area_between(*part.last_usable, last);
    if (!part.first_usable) part.first_usable = last;
    for (std::size_t i = 0; i < time_s.size(); ++i) {
        const PartStatistics::Sample here{time_s[i], temperature_k[i]};
        least_k = here.temperature_k < least_k ? here.temperature_k : least_k;
        most_k = here.temperature_k > most_k ? here.temperature_k : most_k;
        area_ks += area_between(last, here);
        last = here;
    }
    part.usable_count += time_s.size();
    part.min_temperature_k = least_k;
    part.max_temperature_k = most_k;
    part.area_ks = area_ks;
    part.last_usable = last;
}

}  // namespace

PartStatistics statistics_of(const Samples& samples) {
    PartStatistics part;
    part.sample_count = samples.size();
    part.first_time_s = samples.time_s.front();
    part.last_time_s = samples.time_s.back();
    if (samples.are_all_usable()) {
        take_run(samples.time_s, samples.temperature_k, part);
        return part;
    }
    const auto is_usable = [&](std::size_t i) {
        return (samples.quality.empty() || samples.quality[i] == SampleQuality::good) && std::isfinite(samples.temperature_k[i]);
    };
    for (std::size_t from = 0, to = 0; from < samples.size(); from = to) {
        to = from + 1;
        if (!is_usable(from)) continue;
        while (to < samples.size() && is_usable(to)) ++to;
        take_run(samples.time_s.subspan(from, to - from), samples.temperature_k.subspan(from, to - from), part);
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

}  // namespace bakewright::codec
