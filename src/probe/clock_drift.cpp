#include <fmt/format.h>

#include <cmath>
#include <optional>

#include "series.hpp"
#include "unit_text.hpp"

namespace bakewright::probe {
namespace {

constexpr double kLeastSpanS = 1800.0, kLeastDriftS = 2.0;

double seconds_of_one(UnitKind unit) {
    switch (unit) {
        case UnitKind::millisecond:
            return 1e-3;
        case UnitKind::second:
            return 1.0;
        case UnitKind::minute:
            return 60.0;
        case UnitKind::hour:
            return 3600.0;
        case UnitKind::day:
            return 86400.0;
        default:
            return 0.0;
    }
}

/// By how much one clock runs ahead of another, per second of the other: least squares through all rows.
struct ClockFit {
    double share = 0.0;
    double span_s = 0.0;
};

std::optional<ClockFit> compare(const SampleTimes& times, const ColumnCells& cells, double scale) {
    double n = 0.0, mean_t = 0.0, mean_c = 0.0, tt = 0.0, tc = 0.0;
    for (const std::size_t row : times.kept) {
        const double clock_s = cells.value[row] * scale, time_s = times.time_s[row];
        if (!std::isfinite(clock_s)) continue;
        n += 1.0;
        const double dt = time_s - mean_t;
        mean_t += dt / n;
        mean_c += (clock_s - mean_c) / n;
        tt += dt * (time_s - mean_t);
        tc += dt * (clock_s - mean_c);
    }
    if (n < 10.0 || !(tt > 0.0)) return {};
    return ClockFit{tc / tt - 1.0, times.time_s[times.kept.back()] - times.time_s[times.kept.front()]};
}

}  // namespace

void report_clock_drift(const Series& series, LogReading& reading) {
    if (series.times.size() != 1 || series.times[0].kept.empty()) return;
    for (std::size_t c = 0; c < series.columns.size(); ++c) {
        const Column& column = series.columns[c];
        const double scale = seconds_of_one(column.unit_kind);
        if (column.channel.quantity != Quantity::time || !column.is_read || !(scale > 0.0)) continue;
        const auto fit = compare(series.times[0], series.cells[c], scale);
        if (!fit || fit->span_s < kLeastSpanS || std::abs(fit->share) * fit->span_s < kLeastDriftS) continue;
        reading.remarks.push_back(
            fmt::format("the clock of '{}' drifts against that of '{}' by {:+.1f} s in an hour; times are of '{}'",
                        column.channel.heading, reading.time_heading, fit->share * 3600.0, reading.time_heading));
    }
}

}  // namespace bakewright::probe
