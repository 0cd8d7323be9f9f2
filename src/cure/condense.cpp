// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/condense.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>
#include <vector>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/readings.hpp"

namespace bakewright::cure {

TraceCondenser::TraceCondenser(std::string name, TraceRole role, double from_s, double until_s, std::size_t spans)
    : made_{{name, role, {}, {}, {}}, {name, role, {}, {}, {}}},
      from_s_(from_s),
      span_s_((until_s - from_s) / static_cast<double>(spans)) {
    ensure(from_s < until_s && spans > 0, "a condensed trace lasts some time and is cut into spans");
}

void TraceCondenser::put(Trace& made, const Sample& sample) {
    made.time_s.push_back(sample.time_s);
    made.temperature_k.push_back(sample.temperature_k);
    made.quality.push_back(sample.quality);
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
    const std::vector<double>& made_s = made_.extremes.time_s;
    const bool is_first = !last_ && made_s.empty();
    const double before_s = last_ ? last_->time_s : made_s.empty() ? sample.time_s : made_s.back();
    const bool is_open = lost_ && (is_first || sample.time_s - before_s > kLongestBridgedGapS);
    if (span != span_ || is_open) close_span();
    if (is_open) put_lost(*lost_);
    lost_.reset();
    span_ = span;
    if (!first_) first_ = sample;
    if (!least_ || sample.temperature_k < least_->temperature_k) least_ = sample;
    if (!greatest_ || sample.temperature_k > greatest_->temperature_k) greatest_ = sample;
    last_ = sample;
    sum_s_ += sample.time_s - first_->time_s;
    sum_k_ += sample.temperature_k - first_->temperature_k;
    ++summed_;
}

void TraceCondenser::close_span() {
    if (!first_) return;
    std::array<Sample, 4> kept{*first_, *least_, *greatest_, *last_};
    std::sort(kept.begin(), kept.end(), [](const Sample& one, const Sample& other) { return one.time_s < other.time_s; });
    for (std::size_t i = 0; i < kept.size(); ++i)
        if (i == 0 || kept[i].time_s > kept[i - 1].time_s) put(made_.extremes, kept[i]);
    const auto count = static_cast<double>(summed_);
    put(made_.means, {first_->time_s + sum_s_ / count, first_->temperature_k + sum_k_ / count, first_->quality});
    sum_s_ = sum_k_ = 0.0;
    summed_ = 0;
    first_.reset();
    least_.reset();
    greatest_.reset();
    last_.reset();
}

void TraceCondenser::put_lost(const Sample& sample) {
    put(made_.extremes, sample);
    put(made_.means, sample);
}

TraceCondenser::Condensed TraceCondenser::take() {
    close_span();
    if (lost_) put_lost(*latest_lost_);
    lost_.reset();
    return std::move(made_);
}

}  // namespace bakewright::cure
