// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>

#include "iso_time.hpp"
#include "row_order.hpp"
#include "table.hpp"
#include "usual_step.hpp"

namespace bakewright::probe {
namespace {

constexpr double kHour = 3600.0;

bool is_local_clock(const TimedRows& rows) {
    const bool clock = rows.form == TimeForm::clock_of_day || rows.form == TimeForm::date_year_first ||
                       rows.form == TimeForm::date_day_first || rows.form == TimeForm::date_month_first ||
                       rows.form == TimeForm::spreadsheet_days;
    return clock &&
           std::none_of(rows.texts.begin(), rows.texts.end(), [](const TimeText& text) { return text.zone_minutes.has_value(); });
}

/// Clocks go ahead in the night to a Sunday in March or April, on the southern half of the Earth in August to October.
/// Common practice of the law in most countries that change their clocks, no source.
bool may_be_spring_change(const StartTime& start, double time_s) {
    const auto at = std::chrono::sys_seconds(std::chrono::seconds(start.local_s + static_cast<std::int64_t>(std::floor(time_s))));
    const auto day = std::chrono::floor<std::chrono::days>(at);
    const auto month = static_cast<unsigned>(std::chrono::year_month_day(day).month());
    const auto hour = std::chrono::duration_cast<std::chrono::hours>(at - day).count();
    const bool season = month == 3 || month == 4 || (month >= 8 && month <= 10);
    return std::chrono::weekday(day) == std::chrono::Sunday && season && hour >= 1 && hour <= 4;
}

}  // namespace

double usual_step_s(const TimedRows& rows, std::span<const std::size_t> order) {
    UsualStep steps;
    for (std::size_t i = 1; i < order.size(); ++i) {
        const double step_s = rows.time_s[order[i]] - rows.time_s[order[i - 1]];
        if (step_s > 0.0) steps.add(step_s);
    }
    return steps.median_s();
}

void correct_daylight_saving(TimedRows& rows, std::span<const std::size_t> order, LogReading& reading) {
    const double usual_s = usual_step_s(rows, order);
    if (!rows.correct_daylight_saving || !is_local_clock(rows) || !(usual_s > 0.0 && usual_s <= kHour / 4.0)) return;
    const auto start = read_start_time(rows.started_at);
    LogFault back{
        {}, 0, "time the clock goes back by an hour, as at the end of daylight saving time: an hour was added to what follows"};
    LogFault ahead{
        {},
        0,
        "time the clock goes ahead by an hour, as at the beginning of daylight saving time: an hour was taken from what follows"};
    double hours_s = 0.0;
    double written_before_s = rows.time_s[order.front()];
    for (std::size_t i = 1; i < order.size(); ++i) {
        double& time_s = rows.time_s[order[i]];
        const double step_s = time_s - written_before_s;
        if (step_s < 0.0 && step_s + kHour > 0.0 && step_s + kHour <= 2.0 * usual_s + 1.0) {
            hours_s += kHour;
            count_fault(back, rows.lines[order[i]]);
        } else if (start && std::abs(step_s - kHour - usual_s) <= 0.5 * usual_s && may_be_spring_change(*start, time_s)) {
            hours_s -= kHour;
            count_fault(ahead, rows.lines[order[i]]);
        }
        written_before_s = time_s;
        time_s += hours_s;
    }
    for (LogFault* fault : {&back, &ahead})
        if (fault->count > 0) add_fault(reading, std::move(*fault));
}

}  // namespace bakewright::probe
