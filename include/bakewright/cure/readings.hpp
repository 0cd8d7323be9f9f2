// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <limits>
#include <optional>
#include <span>
#include <vector>

#include "bakewright/base/trace.hpp"

namespace bakewright::cure {

/// Longest gap that is bridged [s]. Common practice, no source: a painted skin has a time constant of four to seven minutes, so
/// in two minutes it strays little from the straight line.
inline constexpr double kLongestBridgedGapS = 120.0;

/// What is missing in a trace, all [s].
struct Gaps {
    double bridged_s = 0.0;      ///< in gaps short enough to be read as a straight line
    double open_s = 0.0;         ///< in gaps too long for that, between two usable samples: counted as nothing
    double lost_before_s = 0.0;  ///< unusable samples before the first usable one
    double lost_after_s = 0.0;   ///< unusable samples after the last usable one

    bool operator==(const Gaps&) const = default;
};

/// A trace as every reading of this area takes it: usable samples joined by straight lines. This is the one place of the gap
/// rule.
///
/// A gap is where at least one sample is not usable (see Trace::usable); it lasts from the usable sample before to the usable one
/// after. Up to `longest_bridge_s` it is bridged by the straight line between these two. A longer one is open: nothing that may
/// have happened in it counts, neither as stay, nor dose, nor exposure, nor peak, and a stay does not go on across it. Samples
/// far apart are no gap by themselves: between samples a trace is a straight line, and who reads a log with rows left out puts in
/// samples flagged missing.
///
/// Keeps a view of the trace it was made from, which must outlive it. Made from a Trace without saying so, so that every reading
/// can be called with a Trace.
class JoinedTrace {
public:
    /// Samples begin to end - 1, joined; at least one.
    struct Run {
        std::size_t begin = 0;
        std::size_t end = 0;
    };

    /// @throws PromiseError where the trace is not well formed
    JoinedTrace(const Trace& trace, double longest_bridge_s = kLongestBridgedGapS);  // NOLINT(google-explicit-constructor)
    JoinedTrace(const JoinedTrace&) = delete;
    JoinedTrace& operator=(const JoinedTrace&) = delete;

    [[nodiscard]] std::size_t size() const noexcept { return time_s_.size(); }
    [[nodiscard]] std::span<const double> time_s() const noexcept { return time_s_; }
    [[nodiscard]] std::span<const double> temperature_k() const noexcept { return temperature_k_; }
    [[nodiscard]] std::span<const Run> runs() const noexcept { return runs_; }
    [[nodiscard]] const Gaps& gaps() const noexcept { return gaps_; }

private:
    void drop_unusable(const Trace& trace, double longest_bridge_s);
    void close_gap(double from_s, double to_s, std::size_t next_sample, double longest_bridge_s);

    std::vector<double> kept_time_s_, kept_temperature_k_;  ///< filled only where samples were dropped
    std::span<const double> time_s_, temperature_k_;
    std::vector<Run> runs_;
    Gaps gaps_;
};

/// A straight piece of a trace, from one sample to the next. until_s > from_s.
struct TraceLine {
    double from_s = 0.0, from_k = 0.0;
    double until_s = 0.0, until_k = 0.0;

    [[nodiscard]] double duration_s() const noexcept { return until_s - from_s; }
    /// The moment it is at a temperature between its ends (from_k != until_k).
    [[nodiscard]] double crossing_s(double level_k) const noexcept {
        return from_s + (level_k - from_k) / (until_k - from_k) * duration_s();
    }
    [[nodiscard]] double temperature_k(double time_s) const noexcept {
        return from_k + (time_s - from_s) / duration_s() * (until_k - from_k);
    }
};

/// Calls visit(segment) for every straight piece of a run in order of time.
template <typename Visit>
void for_each_segment(const JoinedTrace& trace, const JoinedTrace::Run& run, Visit&& visit) {
    const auto time_s = trace.time_s();
    const auto temperature_k = trace.temperature_k();
    for (std::size_t i = run.begin; i + 1 < run.end; ++i)
        visit(TraceLine{time_s[i], temperature_k[i], time_s[i + 1], temperature_k[i + 1]});
}

/// The trace with its open gaps filled by the hottest course that stays within the given rates: up from the left edge, down to
/// the right edge. An upper bound for what a probe missed, used to tell whether a gap leaves a verdict open. Unusable samples
/// inside gaps are gone from the result; samples lost before the first or after the last usable one are too.
/// @param fastest_rise_k_per_s, fastest_fall_k_per_s  both > 0; the fall is given as a positive number
[[nodiscard]] Trace with_hottest_gaps(const Trace& trace, double fastest_rise_k_per_s, double fastest_fall_k_per_s,
                                      double longest_bridge_s = kLongestBridgedGapS);

/// Readings of one trace against temperatures. All are exact for the straight lines between samples: crossings are solved, not
/// rounded to samples. Gaps are treated as JoinedTrace says. Inserting a sample on a line changes nothing.

/// A sample this little under a temperature is at it [K]: converting 140 degF to kelvin rounds in the last digits.
inline constexpr double kTemperatureRoundingK = 1e-9;

/// Time at or above one temperature.
struct StayReading {
    double longest_s = 0.0;            ///< longest unbroken stay
    double longest_from_s = 0.0;       ///< when it began; 0 where longest_s is 0
    double total_s = 0.0;              ///< all stays together
    std::optional<double> first_up_s;  ///< the first moment at or above it; also set where it only touches
};

[[nodiscard]] StayReading stay_at_or_above(const JoinedTrace& trace, double temperature_k);

/// One unbroken time at or above a temperature. until_s >= from_s: a touch has no length.
struct Stay {
    double from_s = 0.0;
    double until_s = 0.0;
};

/// The stays that stay_at_or_above() adds up, in the order of time.
[[nodiscard]] std::vector<Stay> stays_at_or_above(const JoinedTrace& trace, double temperature_k);

/// The hottest sample, and the first moment it was reached. Between samples a straight line is never hotter.
struct PeakReading {
    double temperature_k = 0.0;
    double at_s = 0.0;
};

/// Nothing for a trace without usable samples. What happened in an open gap is not in it: see JoinedTrace::gaps().
[[nodiscard]] std::optional<PeakReading> peak(const JoinedTrace& trace);

/// The largest mean rise over a span, and the start of that span.
struct RiseReading {
    double rate_k_per_s = 0.0;  ///< below 0 where the trace only cools
    double from_s = 0.0;
};

/// max over t of (T(t + span) - T(t)) / span. For straight lines the largest one starts or ends on a sample, so that only those
/// are tried. Nothing where no unbroken run is as long as the span.
/// @param span_s   > 0
/// @param until_s  spans that end later do not count
[[nodiscard]] std::optional<RiseReading> steepest_rise(const JoinedTrace& trace, double span_s,
                                                       double until_s = std::numeric_limits<double>::infinity());
/// The same for cooling: rate_k_per_s is the largest mean fall, above 0 where the trace cools.
[[nodiscard]] std::optional<RiseReading> steepest_fall(const JoinedTrace& trace, double span_s);

/// How the moment is told at which the heat came on. Common practice, no source.
struct HeatOnRule {
    double span_s = 120.0;    ///< the rise is looked at over this span
    double rise_k = 1.0;      ///< air that rises so much over the span may be heated
    double confirm_k = 5.0;   ///< and is, where it goes on to rise so much before it falls back
    double drop_k = 0.5;      ///< by more than this it has fallen back
    double on_line_k = 0.25;  ///< the moment is the last one within the first span no more than this over its coldest point
};

/// When the heat came on, from the trace of the booth air; nothing where it never did.
[[nodiscard]] std::optional<double> heat_on_s(const JoinedTrace& booth_air, const HeatOnRule& rule = {});

/// Largest rise is taken over this span [s]: the most useful sample interval for a painted skin is no longer than a minute.
/// Common practice, no source.
inline constexpr double kHeatingRateSpanS = 60.0;

/// What may have happened while a probe gave nothing, told by the steepest rise and fall it showed elsewhere.
class LostSamples {
public:
    /// @param warm_k  what happens below it does not matter
    LostSamples(const Trace& trace, const JoinedTrace& joined, double warm_k);

    /// Nothing that matters can have been missed.
    [[nodiscard]] bool nothing() const noexcept { return !ends_open_ && !has_open_gap_; }
    /// It was lost before the first or after the last usable sample, while warm or on the way there: no bound can be given.
    [[nodiscard]] bool without_bound() const noexcept { return ends_open_; }
    /// The trace as hot as it may have been in its open gaps.
    [[nodiscard]] const Trace& hottest() const noexcept { return hottest_; }

private:
    void look_at_gaps(const Trace& trace, double rise_k_per_s, double fall_k_per_s, double warm_k);

    bool ends_open_ = false;
    bool has_open_gap_ = false;
    Trace hottest_;
};

}  // namespace bakewright::cure
