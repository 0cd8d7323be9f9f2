// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/readings.hpp"

#include <algorithm>
#include <cmath>

#include "bakewright/base/error.hpp"

namespace bakewright::cure {
namespace {

bool all_usable(const Trace& trace) {
    const auto finite = [](double temperature_k) { return std::isfinite(temperature_k); };
    if (trace.quality.empty()) return std::all_of(trace.temperature_k.begin(), trace.temperature_k.end(), finite);
    for (std::size_t i = 0; i < trace.size(); ++i)
        if (!trace.usable(i)) return false;
    return true;
}

}  // namespace

JoinedTrace::JoinedTrace(const Trace& trace, double longest_bridge_s) {
    trace.ensure_well_formed();
    if (!all_usable(trace)) {
        drop_unusable(trace, longest_bridge_s);
        return;
    }
    time_s_ = trace.time_s;
    temperature_k_ = trace.temperature_k;
    if (trace.size() > 0) runs_.push_back({0, trace.size()});
}

void JoinedTrace::drop_unusable(const Trace& trace, double longest_bridge_s) {
    bool in_gap = false;
    for (std::size_t i = 0; i < trace.size(); ++i) {
        if (!trace.usable(i)) {
            in_gap = true;
            continue;
        }
        const std::size_t next_sample = kept_time_s_.size();
        if (next_sample == 0) {
            gaps_.lost_before_s = trace.time_s[i] - trace.time_s.front();
            runs_.push_back({0, 1});
        } else if (in_gap) {
            close_gap(kept_time_s_.back(), trace.time_s[i], next_sample, longest_bridge_s);
        }
        kept_time_s_.push_back(trace.time_s[i]);
        kept_temperature_k_.push_back(trace.temperature_k[i]);
        runs_.back().end = next_sample + 1;
        in_gap = false;
    }
    if (!kept_time_s_.empty()) gaps_.lost_after_s = trace.time_s.back() - kept_time_s_.back();
    time_s_ = kept_time_s_;
    temperature_k_ = kept_temperature_k_;
}

void JoinedTrace::close_gap(double from_s, double to_s, std::size_t next_sample, double longest_bridge_s) {
    const double gap_s = to_s - from_s;
    if (gap_s <= longest_bridge_s) {
        gaps_.bridged_s += gap_s;
        return;
    }
    gaps_.open_s += gap_s;
    runs_.push_back({next_sample, next_sample});
}

Trace with_hottest_gaps(const Trace& trace, double fastest_rise_k_per_s, double fastest_fall_k_per_s, double longest_bridge_s) {
    ensure(fastest_rise_k_per_s > 0.0 && fastest_fall_k_per_s > 0.0, "the rates that bound a gap are positive");
    const JoinedTrace joined(trace, longest_bridge_s);
    Trace filled{.name = trace.name, .role = trace.role, .time_s = {}, .temperature_k = {}, .quality = {}};
    for (const JoinedTrace::Run& run : joined.runs()) {
        const double to_s = joined.time_s()[run.begin];
        const double to_k = joined.temperature_k()[run.begin];
        if (!filled.time_s.empty()) {
            const double from_s = filled.time_s.back();
            const double from_k = filled.temperature_k.back();
            // Where the line up from the left meets the line down to the right.
            const double rise_s =
                (to_k - from_k + fastest_fall_k_per_s * (to_s - from_s)) / (fastest_rise_k_per_s + fastest_fall_k_per_s);
            const double apex_s = from_s + rise_s;
            if (apex_s > from_s && apex_s < to_s) {
                filled.time_s.push_back(apex_s);
                filled.temperature_k.push_back(from_k + fastest_rise_k_per_s * rise_s);
            }
        }
        for (std::size_t i = run.begin; i < run.end; ++i) {
            filled.time_s.push_back(joined.time_s()[i]);
            filled.temperature_k.push_back(joined.temperature_k()[i]);
        }
    }
    return filled;
}

namespace {

/// Adds up the stays at or above a level, segment by segment.
class StayCounter {
public:
    /// @param stays  where given, every stay is put there too
    explicit StayCounter(double level_k, std::vector<Stay>* stays = nullptr) : level_k_(level_k), stays_(stays) {}

    void start(double time_s, double temperature_k) {
        inside_ = temperature_k >= level_k_;
        if (inside_) enter(time_s);
    }
    void add(const TraceLine& segment) {
        const bool above = segment.until_k >= level_k_;
        if (above == inside_) return;
        const double crossing_s = segment.crossing_s(level_k_);
        if (above)
            enter(crossing_s);
        else
            leave(crossing_s);
    }
    void stop(double time_s) {
        if (inside_) leave(time_s);
    }
    [[nodiscard]] const StayReading& reading() const { return reading_; }

private:
    void enter(double time_s) {
        inside_ = true;
        entered_s_ = time_s;
        if (!reading_.first_up_s) reading_.first_up_s = time_s;
    }
    void leave(double time_s) {
        inside_ = false;
        if (stays_ != nullptr) stays_->push_back({entered_s_, time_s});
        const double stay_s = time_s - entered_s_;
        reading_.total_s += stay_s;
        if (stay_s <= reading_.longest_s) return;
        reading_.longest_s = stay_s;
        reading_.longest_from_s = entered_s_;
    }

    double level_k_;
    std::vector<Stay>* stays_;
    bool inside_ = false;
    double entered_s_ = 0.0;
    StayReading reading_;
};

StayReading count_stays(const JoinedTrace& trace, StayCounter counter) {
    for (const JoinedTrace::Run& run : trace.runs()) {
        counter.start(trace.time_s()[run.begin], trace.temperature_k()[run.begin]);
        for_each_segment(trace, run, [&](const TraceLine& segment) { counter.add(segment); });
        counter.stop(trace.time_s()[run.end - 1]);
    }
    return counter.reading();
}

/// Temperatures of one run at times that only go forward.
class RunCursor {
public:
    RunCursor(const JoinedTrace& trace, const JoinedTrace::Run& run)
        : time_s_(trace.time_s()), temperature_k_(trace.temperature_k()), last_(run.end - 1), at_(run.begin) {}

    double temperature_k(double time_s) {
        while (at_ + 1 < last_ && time_s_[at_ + 1] <= time_s) ++at_;
        const TraceLine segment{time_s_[at_], temperature_k_[at_], time_s_[at_ + 1], temperature_k_[at_ + 1]};
        return segment.temperature_k(time_s);
    }

private:
    std::span<const double> time_s_, temperature_k_;
    std::size_t last_, at_;
};

/// The largest of sign * (T(t + span) - T(t)) over one run, sample times first as the start and then as the end of the span.
class RiseSearch {
public:
    RiseSearch(double span_s, double sign) : span_s_(span_s), sign_(sign) {}

    void run(const JoinedTrace& trace, const JoinedTrace::Run& run, double until_s) {
        const auto time_s = trace.time_s().subspan(run.begin, run.end - run.begin);
        const auto temperature_k = trace.temperature_k().subspan(run.begin, run.end - run.begin);
        const double end_s = std::min(time_s.back(), until_s);
        if (time_s.size() < 2 || end_s - time_s.front() < span_s_) return;
        RunCursor later(trace, run);
        for (std::size_t i = 0; i < time_s.size() && time_s[i] + span_s_ <= end_s; ++i)
            offer(later.temperature_k(time_s[i] + span_s_) - temperature_k[i], time_s[i]);
        RunCursor earlier(trace, run);
        for (std::size_t i = 0; i < time_s.size() && time_s[i] <= end_s; ++i)
            if (const double from_s = time_s[i] - span_s_; from_s >= time_s.front())
                offer(temperature_k[i] - earlier.temperature_k(from_s), from_s);
        if (until_s < time_s.back()) offer_last(trace, run, end_s);
    }
    [[nodiscard]] std::optional<RiseReading> best() const { return best_; }

private:
    void offer_last(const JoinedTrace& trace, const JoinedTrace::Run& run, double end_s) {
        RunCursor cursor(trace, run);
        const double from_k = cursor.temperature_k(end_s - span_s_);
        offer(cursor.temperature_k(end_s) - from_k, end_s - span_s_);
    }
    void offer(double rise_k, double from_s) {
        const double rate_k_per_s = sign_ * rise_k / span_s_;
        if (!best_ || rate_k_per_s > best_->rate_k_per_s) best_ = RiseReading{rate_k_per_s, from_s};
    }

    double span_s_;
    double sign_;
    std::optional<RiseReading> best_;
};

std::optional<RiseReading> steepest(const JoinedTrace& trace, double span_s, double until_s, double sign) {
    ensure(span_s > 0.0, "the span of a heating rate is above 0");
    RiseSearch search(span_s, sign);
    for (const JoinedTrace::Run& run : trace.runs()) search.run(trace, run, until_s);
    return search.best();
}

/// Whether the trace rises by `confirm_k` over sample `from` before it falls back.
bool keeps_rising(std::span<const double> temperature_k, std::size_t from, const HeatOnRule& rule) {
    for (std::size_t i = from; i < temperature_k.size(); ++i) {
        if (temperature_k[i] >= temperature_k[from] + rule.confirm_k) return true;
        if (temperature_k[i] < temperature_k[from] - rule.drop_k) return false;
    }
    return false;
}

/// The last moment before the end of the span at which the trace was no more than `on_line_k` above its coldest sample in it.
double leaves_the_line_s(std::span<const double> time_s, std::span<const double> temperature_k, std::size_t from,
                         const HeatOnRule& rule) {
    std::size_t end = from;
    while (end < time_s.size() && time_s[end] <= time_s[from] + rule.span_s) ++end;
    const auto coldest = std::min_element(temperature_k.begin() + static_cast<std::ptrdiff_t>(from),
                                          temperature_k.begin() + static_cast<std::ptrdiff_t>(end));
    const double level_k = *coldest + rule.on_line_k;
    std::size_t last = end - 1;
    while (last > from && temperature_k[last] > level_k) --last;
    if (last + 1 == time_s.size()) return time_s[last];
    const TraceLine segment{time_s[last], temperature_k[last], time_s[last + 1], temperature_k[last + 1]};
    // The line that crosses the level, followed back to the coldest sample's temperature: where the rise began.
    const double began_s = segment.until_k > level_k ? segment.crossing_s(*coldest) : segment.from_s;
    return std::clamp(began_s, segment.from_s, segment.until_s);
}

}  // namespace

StayReading stay_at_or_above(const JoinedTrace& trace, double temperature_k) {
    return count_stays(trace, StayCounter(temperature_k - kTemperatureRoundingK));
}

std::vector<Stay> stays_at_or_above(const JoinedTrace& trace, double temperature_k) {
    std::vector<Stay> stays;
    count_stays(trace, StayCounter(temperature_k - kTemperatureRoundingK, &stays));
    return stays;
}

std::optional<PeakReading> peak(const JoinedTrace& trace) {
    const auto temperature_k = trace.temperature_k();
    if (temperature_k.empty()) return std::nullopt;
    const auto hottest = std::max_element(temperature_k.begin(), temperature_k.end());
    return PeakReading{*hottest, trace.time_s()[static_cast<std::size_t>(hottest - temperature_k.begin())]};
}

std::optional<RiseReading> steepest_rise(const JoinedTrace& trace, double span_s, double until_s) {
    return steepest(trace, span_s, until_s, 1.0);
}

std::optional<RiseReading> steepest_fall(const JoinedTrace& trace, double span_s) {
    return steepest(trace, span_s, std::numeric_limits<double>::infinity(), -1.0);
}

std::optional<double> heat_on_s(const JoinedTrace& booth_air, const HeatOnRule& rule) {
    const auto time_s = booth_air.time_s();
    const auto temperature_k = booth_air.temperature_k();
    std::size_t later = 0;
    for (std::size_t i = 0; i < time_s.size(); ++i) {
        later = std::max(later, i + 1);
        while (later + 1 < time_s.size() && time_s[later] < time_s[i] + rule.span_s) ++later;
        if (later >= time_s.size()) break;
        const TraceLine around{time_s[later - 1], temperature_k[later - 1], time_s[later], temperature_k[later]};
        const double span_end_k = around.temperature_k(std::min(time_s[i] + rule.span_s, around.until_s));
        const bool may_be_heated = span_end_k - temperature_k[i] >= rule.rise_k;
        if (may_be_heated && keeps_rising(temperature_k, i, rule)) return leaves_the_line_s(time_s, temperature_k, i, rule);
    }
    return std::nullopt;
}

namespace {

/// A trace that never rose where it was seen still gets a rate, so that its gaps can be filled.
constexpr double kLeastRateKPerS = 1e-6;

/// The steepest rise or fall; infinite where the trace is too short to show one.
double rate_or_infinite(const std::optional<RiseReading>& reading) {
    return reading ? std::max(reading->rate_k_per_s, kLeastRateKPerS) : std::numeric_limits<double>::infinity();
}

bool lost_before_matters(const JoinedTrace& joined, double fall_k_per_s, double warm_k) {
    const double lost_s = joined.gaps().lost_before_s;
    const double first_k = joined.temperature_k().front();
    // Below warm at the first sample: it was still cold when the probe came on.
    return lost_s > kLongestBridgedGapS && first_k >= warm_k && first_k + fall_k_per_s * lost_s >= warm_k;
}

bool lost_after_matters(const JoinedTrace& joined, double rise_k_per_s, double warm_k) {
    const double lost_s = joined.gaps().lost_after_s;
    if (lost_s <= kLongestBridgedGapS) return false;
    const double last_k = joined.temperature_k().back();
    const bool cooled_down = last_k < warm_k && peak(joined)->temperature_k >= warm_k;
    return !cooled_down && last_k + rise_k_per_s * lost_s >= warm_k;
}

}  // namespace

LostSamples::LostSamples(const Trace& trace, const JoinedTrace& joined, double warm_k) {
    if (joined.gaps() == Gaps{} || joined.size() == 0) return;
    const double rise_k_per_s = rate_or_infinite(steepest_rise(joined, kHeatingRateSpanS));
    const double fall_k_per_s = rate_or_infinite(steepest_fall(joined, kHeatingRateSpanS));
    ends_open_ = lost_before_matters(joined, fall_k_per_s, warm_k) || lost_after_matters(joined, rise_k_per_s, warm_k);
    if (joined.gaps().open_s > 0.0) look_at_gaps(trace, rise_k_per_s, fall_k_per_s, warm_k);
}

void LostSamples::look_at_gaps(const Trace& trace, double rise_k_per_s, double fall_k_per_s, double warm_k) {
    if (!(rise_k_per_s < std::numeric_limits<double>::infinity() && fall_k_per_s < std::numeric_limits<double>::infinity())) {
        ends_open_ = true;
        return;
    }
    hottest_ = with_hottest_gaps(trace, rise_k_per_s, fall_k_per_s);
    has_open_gap_ = peak(hottest_)->temperature_k >= warm_k;
}

}  // namespace bakewright::cure
