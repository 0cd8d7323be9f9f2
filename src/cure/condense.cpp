// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/condense.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/readings.hpp"

namespace bakewright::cure {

TraceCondenser::TraceCondenser(std::string name, TraceRole role, double from_s, double until_s, std::size_t spans)
    : made_{std::move(name), role, {}, {}, {}}, from_s_(from_s), span_s_((until_s - from_s) / static_cast<double>(spans)) {
    ensure(from_s < until_s && spans > 0, "a condensed trace lasts some time and is cut into spans");
}

void TraceCondenser::add(const Trace& part) {
    for (std::size_t i = 0; i < part.size(); ++i) {
        const Sample sample{part.time_s[i], part.temperature_k[i], part.quality.empty() ? SampleQuality::good : part.quality[i]};
        if (part.usable(i)) {
            see(sample);
            continue;
        }
        if (!lost_) lost_ = sample;
        latest_lost_ = sample;
    }
}

void TraceCondenser::see(const Sample& sample) {
    const auto span = static_cast<std::size_t>(std::max((sample.time_s - from_s_) / span_s_, 0.0));
    const bool is_first = !last_ && made_.time_s.empty();
    const double before_s = last_ ? last_->time_s : made_.time_s.empty() ? sample.time_s : made_.time_s.back();
    const bool is_open = lost_ && (is_first || sample.time_s - before_s > kLongestBridgedGapS);
    if (span != span_ || is_open) close_span();
    if (is_open) put(*lost_);
    lost_.reset();
    span_ = span;
    if (!first_) first_ = sample;
    if (!least_ || sample.temperature_k < least_->temperature_k) least_ = sample;
    if (!greatest_ || sample.temperature_k > greatest_->temperature_k) greatest_ = sample;
    last_ = sample;
}

void TraceCondenser::close_span() {
    if (!first_) return;
    std::array<Sample, 4> kept{*first_, *least_, *greatest_, *last_};
    std::sort(kept.begin(), kept.end(), [](const Sample& one, const Sample& other) { return one.time_s < other.time_s; });
    for (std::size_t i = 0; i < kept.size(); ++i)
        if (i == 0 || kept[i].time_s > kept[i - 1].time_s) put(kept[i]);
    first_.reset();
    least_.reset();
    greatest_.reset();
    last_.reset();
}

void TraceCondenser::put(const Sample& sample) {
    made_.time_s.push_back(sample.time_s);
    made_.temperature_k.push_back(sample.temperature_k);
    made_.quality.push_back(sample.quality);
}

Trace TraceCondenser::take() {
    close_span();
    if (lost_) put(*latest_lost_);
    lost_.reset();
    return std::move(made_);
}

}  // namespace bakewright::cure
