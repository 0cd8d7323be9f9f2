// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <functional>
#include <span>
#include <string>
#include <vector>

#include "bakewright/probe/log_reading.hpp"
#include "problem_list.hpp"
#include "time_column.hpp"

namespace bakewright::probe {

/// The rows of a table that become samples, and when each row was.
struct SampleTimes {
    std::vector<double> time_s;     ///< of every row; NaN where it could not be read
    std::vector<std::size_t> kept;  ///< rows in the order of time
};

/// Rows of one table, or of one channel of a long file, before they are put in the order of time.
struct TimedRows {
    std::span<const int> lines;
    std::span<const TimeText> texts;
    std::vector<double> time_s;
    std::string heading;  ///< of the time column, for messages
    TimeForm form = TimeForm::elapsed_seconds;
    std::string started_at;  ///< of time 0; empty where unknown
    bool correct_daylight_saving = true;
    std::function<bool(std::size_t, std::size_t)> same_values;  ///< of two rows
};

/// Puts rows in the order of time, and tells what was not in order:
/// - rows from the newest to the oldest are turned round;
/// - where a clock without zone steps back by an hour as at the end of daylight saving time, or ahead on a Sunday night as at its
///   beginning, the hour is taken out of what follows (clock_change.cpp);
/// - rows that come late, at most three together and with later rows behind them, are put where they belong;
/// - of rows with one time the first is kept;
/// - gaps of more than five usual intervals are measured.
/// Any other step back is a problem, with both lines and the likely cause.
[[nodiscard]] SampleTimes order_rows(TimedRows rows, LogReading& reading, ProblemList& problems);

/// Adds a fault to a reading, or to the one with the same message that is there already (of another channel).
void add_fault(LogReading& reading, LogFault fault);

/// More than five usual steps.
[[nodiscard]] bool is_gap(double step_s, double usual_s) noexcept;
/// Counts a step between two rows where it is a gap. @param line  of the row behind it
void count_gap(double step_s, double usual_s, int line, LogFault& gaps, LogReading& reading);
/// Adds the gaps that were counted, where there are any.
void add_gaps(LogFault gaps, LogReading& reading);

/// Takes the hours of daylight saving time out of a clock's times. (clock_change.cpp)
/// @param order  rows in file order whose time could be read
void correct_daylight_saving(TimedRows& rows, std::span<const std::size_t> order, LogReading& reading);

/// Median of the steps between rows that go ahead [s]; 0 where there is none. (clock_change.cpp)
[[nodiscard]] double usual_step_s(const TimedRows& rows, std::span<const std::size_t> order);

}  // namespace bakewright::probe
