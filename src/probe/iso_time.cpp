// SPDX-License-Identifier: Apache-2.0
#include "iso_time.hpp"

#include <chrono>
#include <cmath>

#include "time_column.hpp"
#include "time_text.hpp"

namespace bakewright::probe {

std::optional<StartTime> read_start_time(std::string_view iso) {
    const TimeText text = read_time(iso, '.');
    if (!text.readable || text.date != DateShape::year_first || !text.has_clock()) return {};
    const std::chrono::year_month_day date{std::chrono::year(text.year), std::chrono::month(static_cast<unsigned>(text.first)),
                                           std::chrono::day(static_cast<unsigned>(text.second))};
    if (!date.ok()) return {};
    const std::int64_t days = std::chrono::sys_days(date).time_since_epoch().count();
    return StartTime{days * 86400 + text.part[0] * 3600 + text.part[1] * 60 + text.part[2], text.fraction_s, text.zone_minutes};
}

std::string moved_start(const std::string& started_at, double by_s) {
    const auto start = read_start_time(started_at);
    if (!start) return started_at;
    // To the microsecond, as it is printed.
    const double sum_s = std::round((start->fraction_s + by_s) * 1e6) / 1e6;
    const double whole_s = std::floor(sum_s);
    return iso_text(start->local_s + static_cast<std::int64_t>(whole_s), sum_s - whole_s, start->zone_minutes);
}

}  // namespace bakewright::probe
