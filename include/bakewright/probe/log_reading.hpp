// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/format.hpp"

namespace bakewright::probe {

/// How the time of a row is written.
enum class TimeForm {
    elapsed_milliseconds,  ///< a number since the logger's own zero
    elapsed_seconds,
    elapsed_minutes,
    elapsed_hours,
    elapsed_days,
    elapsed_hms,        ///< "1:02:03.5" since the start, hours may pass 24
    elapsed_ms,         ///< "62:03.5", minutes and seconds since the start
    clock_of_day,       ///< "14:05:10" or "2:05:10 PM" without a date
    date_year_first,    ///< ISO 8601 and its relatives with year, month, day
    date_day_first,     ///< "24.12.2026 14:05", "24/12/26 2:05 PM", "24 Dec 2026"
    date_month_first,   ///< "12/24/2026 14:05", "Dec 24, 2026"
    unix_seconds,       ///< seconds since 1970-01-01 UTC
    unix_milliseconds,  ///< the same in milliseconds
    unix_microseconds,
    unix_nanoseconds,
    spreadsheet_days  ///< days since 1899-12-30, the serial day of spreadsheets
};

/// The word an option uses: "ms", "s", "min", "h", "d", "hh:mm:ss", "mm:ss", "clock", "year-first", "day-first",
/// "month-first", "unix-s", "unix-ms", "unix-us", "unix-ns", "spreadsheet-days".
[[nodiscard]] std::string_view time_form_name(TimeForm form) noexcept;
[[nodiscard]] std::optional<TimeForm> time_form_from_name(std::string_view name) noexcept;
/// True where the file tells a clock time, so that time 0 is the first sample; false for elapsed time, which is kept as it is.
[[nodiscard]] bool is_clock_form(TimeForm form) noexcept;

/// What a column of a log holds.
enum class Quantity {
    temperature,  ///< becomes a trace
    time,         ///< the time of the row, or a part or second copy of it
    voltage,      ///< volts, of a thermocouple or of anything else: listed, a temperature only where the user names a type
    other,        ///< numbers that are not temperatures: listed, never converted
    text,         ///< words: listed, not read
    unread        ///< a temperature that the user's choice of columns left out
};

[[nodiscard]] std::string_view quantity_name(Quantity quantity) noexcept;

/// What was understood of one column, and why.
struct LogChannel {
    std::string name;     ///< unique; the heading without its unit. The trace of a temperature has this name
    std::string heading;  ///< as it stands in the file, blanks at the ends removed
    int column = 0;       ///< 1-based position in the file
    Quantity quantity = Quantity::other;
    std::string unit;  ///< "°C", "°F", "K", "mV", or the file's own word for another quantity; empty where none is given
    /// Where the unit or the quantity was found: "units row", "in the name", "in the cells", "in the cells beside",
    /// "in the lines above", "option", "assumed",
    /// or the reason why the column is no temperature.
    std::string found;
    /// How volts became temperatures: "type K, reference junction 'CJ'" or "type K, reference junction 296.15 K"; else empty.
    std::string conversion;
    std::size_t numbers = 0;       ///< cells that hold a number, sentinels of an open circuit included
    std::size_t missing = 0;       ///< blank cells and words for "no value"
    std::size_t open_circuit = 0;  ///< words and numbers that loggers write for an open thermocouple
    std::size_t out_of_range = 0;  ///< numbers that no thermocouple can give
    std::size_t spikes = 0;        ///< numbers flagged by the rules of quality.hpp; their values are kept
    std::size_t stuck = 0;
    std::size_t clipped = 0;
    double longest_gap_s = 0.0;       ///< longest time without a value, where more than five usual intervals; else 0
    double longest_gap_from_s = 0.0;  ///< when it begins
    /// Coldest and hottest usable sample [K]; NaN where there is none.
    double least_k = std::numeric_limits<double>::quiet_NaN();
    double most_k = std::numeric_limits<double>::quiet_NaN();
};

/// Something in the file that is not as it should be and that the reading could live with.
struct LogFault {
    std::vector<int> lines;  ///< 1-based, ascending, at most the first 20
    std::size_t count = 0;   ///< how many there are in all
    std::string message;     ///< one sentence without the line numbers
    /// "16 rows have a field too few ... (lines 3, 40, 51 and 13 more)".
    [[nodiscard]] std::string text() const;
};

/// Words that stand in a log among its readings: what somebody did, or what the logger says of itself.
struct LogNote {
    int line = 0;
    std::string time;     ///< of its row, as written; empty where it has none
    std::string channel;  ///< where it stands in place of a reading; else empty
    std::string text;
};
inline constexpr std::size_t kMostNotes = 200;

/// Everything that was understood of a log file, so that a person can check it at a glance.
struct LogReading {
    std::string file;
    std::string encoding;               ///< "UTF-8", "UTF-8 with byte-order mark", "UTF-16 LE", "UTF-16 BE", "Latin-1"
    char delimiter = ',';               ///< ',', ';', tab, '|', or ' ' for runs of blanks
    char decimal_mark = '.';            ///< '.' or ','
    std::vector<std::string> preamble;  ///< lines before the heading row, at most 40
    int heading_line = 0;               ///< 1-based; 0 where the file has none
    int second_heading_line = 0;        ///< where there are two rows of headings, the upper one; else 0
    int units_line = 0;                 ///< 1-based; 0 where the file has none
    int first_data_line = 0;
    std::string time_heading;   ///< heading of the time column; "Date + Time" where there are two
    std::string name_heading;   ///< of a long file, a row a sample: the column that names the channel; empty for a wide one
    std::string value_heading;  ///< of a long file: the column of the values
    TimeForm time_form = TimeForm::elapsed_seconds;
    std::string started_at;  ///< ISO 8601 clock time of time 0, as in TraceSet; empty where unknown
    std::string time_found;  ///< where the form was found: "units row", "in the name", "option", "in the cells", "assumed"
    std::vector<LogChannel> channels;  ///< every column, in file order; of a long file every channel
    std::vector<std::string> remarks;  ///< guesses and their reasons, one sentence each
    std::vector<LogFault> faults;
    std::vector<LogNote> notes;  ///< lines of words, then words in place of readings; at most kMostNotes
    std::size_t rows_read = 0;   ///< data rows in the file
    std::size_t rows_kept = 0;   ///< rows that became samples
    double first_time_s = 0.0;   ///< time of the first and the last sample [s]
    double last_time_s = 0.0;
    double longest_gap_s = 0.0;  ///< longest time between two rows, where more than five usual intervals; else 0

    /// The column of a name or heading; null where there is none.
    [[nodiscard]] const LogChannel* find(std::string_view name) const noexcept;
};

/// "comma", "semicolon", "tab", "vertical bar" or "blanks".
[[nodiscard]] std::string_view delimiter_name(char delimiter) noexcept;

}  // namespace bakewright::probe
