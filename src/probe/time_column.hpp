// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <limits>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "bakewright/probe/log_reading.hpp"
#include "problem_list.hpp"
#include "time_text.hpp"
#include "unit_text.hpp"

namespace bakewright::probe {

/// The time of a cell that cannot be read.
inline constexpr double kNoTime = std::numeric_limits<double>::quiet_NaN();
inline constexpr std::int64_t kSecondsPerDay = 86400;

/// What is known of the time column besides its cells.
struct TimeHints {
    std::string heading;  ///< for messages
    UnitKind unit = UnitKind::none;
    std::string unit_found;  ///< "units row", "in the name" or empty
    std::optional<TimeForm> option;
};

/// The time of every row. time_s is NaN where a cell could not be read (a problem was added for it).
struct ResolvedTimes {
    std::vector<double> time_s;
    TimeForm form = TimeForm::elapsed_seconds;
    std::string found;
    std::string started_at;
    std::vector<std::string> remarks;
};

/// Decides from all cells together what they mean, and turns them into seconds.
/// Adds a problem for every cell that does not fit; fails where two meanings are possible.
/// Shapes: lines and cells have the same length.
[[nodiscard]] ResolvedTimes resolve_times(std::span<const TimeText> cells, std::span<const int> lines, const TimeHints& hints,
                                          ProblemList& problems);

// The parts of resolve_times, one file each.

/// time_number.cpp: numbers, whatever they count.
[[nodiscard]] ResolvedTimes resolve_numbers(std::span<const TimeText> cells, const TimeHints& hints, ProblemList& problems);
/// time_clock.cpp: h:mm:ss without a date, of the day or elapsed.
[[nodiscard]] ResolvedTimes resolve_clock(std::span<const TimeText> cells, std::span<const int> lines, const TimeHints& hints,
                                          ProblemList& problems);
/// time_date.cpp: dates with or without a time of day.
[[nodiscard]] ResolvedTimes resolve_dates(std::span<const TimeText> cells, std::span<const int> lines, const TimeHints& hints,
                                          ProblemList& problems);

/// A local or zoned instant since 1970-01-01 as ISO 8601. fraction_s 0 to 1, printed to the microsecond where not 0.
[[nodiscard]] std::string iso_text(std::int64_t local_s, double fraction_s, std::optional<int> zone_minutes);

}  // namespace bakewright::probe
