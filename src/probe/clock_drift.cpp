// SPDX-License-Identifier: Apache-2.0
#include "clock_drift.hpp"

#include <fmt/format.h>

#include <cmath>
#include <optional>

#include "series.hpp"
#include "unit_text.hpp"

namespace bakewright::probe {
namespace {

constexpr double kLeastSpanS = 1800.0, kLeastDriftS = 2.0;

}  // namespace

void ClockComparison::add(double time_s, double clock_s) {
    if (!std::isfinite(clock_s)) return;
    count_ += 1.0;
    const double ahead_s = time_s - mean_time_s_;
    mean_time_s_ += ahead_s / count_;
    mean_clock_s_ += (clock_s - mean_clock_s_) / count_;
    time_time_ += ahead_s * (time_s - mean_time_s_);
    time_clock_ += ahead_s * (clock_s - mean_clock_s_);
}

std::optional<double> ClockComparison::share() const {
    if (count_ < 10.0 || !(time_time_ > 0.0)) return {};
    return time_clock_ / time_time_ - 1.0;
}

double second_clock_scale(const Column& column) {
    return column.channel.quantity == Quantity::time && column.is_read ? seconds_of_one(column.unit_kind).value_or(0.0) : 0.0;
}

void remark_clock_drift(const Column& column, const ClockComparison& clocks, double span_s, LogReading& reading) {
    const auto share = clocks.share();
    if (!share || span_s < kLeastSpanS || std::abs(*share) * span_s < kLeastDriftS) return;
    reading.remarks.push_back(
        fmt::format("the clock of '{}' drifts against that of '{}' by {:+.1f} s in an hour; times are of '{}'",
                    column.channel.heading, reading.time_heading, *share * 3600.0, reading.time_heading));
}

void report_clock_drift(const Series& series, LogReading& reading) {
    if (series.times.size() != 1 || series.times[0].kept.empty()) return;
    const SampleTimes& times = series.times[0];
    for (std::size_t c = 0; c < series.columns.size(); ++c) {
        const double scale = second_clock_scale(series.columns[c]);
        if (!(scale > 0.0)) continue;
        ClockComparison clocks;
        for (const std::size_t row : times.kept) clocks.add(times.time_s[row], series.cells[c].value[row] * scale);
        remark_clock_drift(series.columns[c], clocks, times.time_s[times.kept.back()] - times.time_s[times.kept.front()],
                           reading);
    }
}

}  // namespace bakewright::probe
