// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "time_column.hpp"

namespace bakewright::probe {
namespace {

constexpr double kSerialDayOf1970 = 25569.0;  // 1970-01-01 counted from 1899-12-30

struct Range {
    double least = std::numeric_limits<double>::infinity();
    double most = -std::numeric_limits<double>::infinity();
    double first = kNoTime;
    std::size_t count = 0;
};

Range range_of(std::span<const TimeText> cells) {
    Range range;
    for (const TimeText& cell : cells) {
        if (!cell.readable) continue;
        if (range.count++ == 0) range.first = cell.number;
        range.least = std::min(range.least, cell.number);
        range.most = std::max(range.most, cell.number);
    }
    return range;
}

std::optional<TimeForm> form_of_unit(UnitKind unit) {
    switch (unit) {
        case UnitKind::millisecond:
            return TimeForm::elapsed_milliseconds;
        case UnitKind::second:
            return TimeForm::elapsed_seconds;
        case UnitKind::minute:
            return TimeForm::elapsed_minutes;
        case UnitKind::hour:
            return TimeForm::elapsed_hours;
        case UnitKind::day:
            return TimeForm::elapsed_days;
        default:
            return {};
    }
}

/// Counts since 1970 are recognised by their size, serial days by size and small steps: 36526 is 2000-01-01, 73051 is 2100-01-01.
std::optional<TimeForm> calendar_form(const Range& range) {
    if (range.least >= 9.4e8 && range.most < 4.2e9) return TimeForm::unix_seconds;
    if (range.least >= 9.4e11 && range.most < 4.2e12) return TimeForm::unix_milliseconds;
    if (range.least >= 9.4e14 && range.most < 4.2e15) return TimeForm::unix_microseconds;
    if (range.least >= 9.4e17 && range.most < 4.2e18) return TimeForm::unix_nanoseconds;
    const bool serial = range.least >= 36526.0 && range.most < 73051.0;
    const bool small_steps = range.count > 1 && (range.most - range.least) / static_cast<double>(range.count - 1) < 0.05;
    const bool has_fraction = range.first != std::floor(range.first) || range.most != std::floor(range.most);
    if (serial && small_steps && has_fraction) return TimeForm::spreadsheet_days;
    return {};
}

double seconds_of_one(TimeForm form) {
    switch (form) {
        case TimeForm::elapsed_milliseconds:
        case TimeForm::unix_milliseconds:
            return 1e-3;
        case TimeForm::unix_microseconds:
            return 1e-6;
        case TimeForm::unix_nanoseconds:
            return 1e-9;
        case TimeForm::elapsed_minutes:
            return 60.0;
        case TimeForm::elapsed_hours:
            return 3600.0;
        case TimeForm::elapsed_days:
        case TimeForm::spreadsheet_days:
            return kSecondsPerDay;
        default:
            return 1.0;
    }
}

/// Clock text of the first sample, to the millisecond: a serial day of 15 digits holds no more.
std::string start_text(TimeForm form, double first) {
    const bool days = form == TimeForm::spreadsheet_days;
    const double since_1970_s = days ? (first - kSerialDayOf1970) * kSecondsPerDay : first * seconds_of_one(form);
    const double rounded = std::round(since_1970_s * 1e3);
    const double whole = std::floor(rounded / 1e3);
    const double fraction = (rounded - whole * 1e3) / 1e3;
    return iso_text(static_cast<std::int64_t>(whole), fraction, days ? std::nullopt : std::optional<int>(0));
}

bool is_number_form(TimeForm form) { return form <= TimeForm::elapsed_days || form >= TimeForm::unix_seconds; }

void decide_form(ResolvedTimes& out, const Range& range, const TimeHints& hints, ProblemList& problems) {
    if (hints.option) {
        if (!is_number_form(*hints.option))
            problems.fail(
                0, hints.heading,
                fmt::format("the time form '{}' was asked for, but the column holds numbers; accepted for numbers: ms, s, min, "
                            "h, d, unix-s, unix-ms, unix-us, unix-ns, spreadsheet-days",
                            time_form_name(*hints.option)));
        out.form = *hints.option;
        out.found = "option";
        return;
    }
    const std::optional<TimeForm> calendar = calendar_form(range);
    if (const auto form = form_of_unit(hints.unit)) {
        const bool since_1970 = calendar && *calendar != TimeForm::spreadsheet_days;
        out.form = since_1970 ? *calendar : *form;
        out.found = hints.unit_found;
        return;
    }
    out.form = calendar.value_or(TimeForm::elapsed_seconds);
    out.found = calendar ? "in the cells" : "assumed";
    if (!calendar) out.remarks.push_back(fmt::format("the time column '{}' has no unit: read as seconds", hints.heading));
}

}  // namespace

ResolvedTimes resolve_numbers(std::span<const TimeText> cells, const TimeHints& hints, ProblemList& problems) {
    const Range range = range_of(cells);
    ResolvedTimes out;
    decide_form(out, range, hints, problems);
    const bool clock = is_clock_form(out.form);
    const double zero = clock ? range.first : 0.0;
    const double scale = seconds_of_one(out.form);
    out.time_s.reserve(cells.size());
    for (const TimeText& cell : cells) out.time_s.push_back(cell.readable ? (cell.number - zero) * scale : kNoTime);
    if (clock) {
        constexpr double kLatestDay = 2.0e5;  // a day count past the year 2400 is not a clock
        const double first_days = out.form == TimeForm::spreadsheet_days ? range.first : range.first * scale / kSecondsPerDay;
        if (!(first_days >= 0.0 && first_days < kLatestDay))
            problems.fail(0, hints.heading,
                          fmt::format("{} is not a date when read as {}", range.first, time_form_name(out.form)));
        out.started_at = start_text(out.form, range.first);
        out.remarks.push_back(fmt::format("the numbers of the time column '{}' are read as {}, starting at {}", hints.heading,
                                          out.form == TimeForm::spreadsheet_days ? "serial days of a spreadsheet (1900 system)"
                                          : out.form == TimeForm::unix_microseconds || out.form == TimeForm::unix_nanoseconds
                                              ? "microseconds or nanoseconds since 1970 UTC"
                                              : "seconds or milliseconds since 1970 UTC",
                                          out.started_at));
    }
    return out;
}

}  // namespace bakewright::probe
