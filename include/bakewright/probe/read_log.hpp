// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/format.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/probe/log_reading.hpp"
#include "bakewright/probe/quality.hpp"
#include "bakewright/probe/thermocouple.hpp"

namespace bakewright::probe {

/// Unit of a column that holds the raw voltage of a thermocouple.
enum class VoltageUnit { volt, millivolt, microvolt };

/// What the user knows better than the reader. Everything left empty is found out from the file.
/// A column is named by its heading, its heading without unit, or its position counted from 1.
struct ReadOptions {
    std::optional<char> delimiter;                             ///< ',', ';', tab, '|', or ' ' for runs of blanks
    std::optional<char> decimal_mark;                          ///< '.' or ','
    std::string time_column;                                   ///< where two columns tell the time, the one with the time of day
    std::string date_column;                                   ///< only where the date stands in a column of its own
    std::string name_column;                                   ///< of a long file: the column that names the channel of each row
    std::string value_column;                                  ///< of a long file: the column of values; needs name_column
    std::optional<TimeForm> time_form;                         ///< unit of elapsed time, order of a date, or kind of day count
    std::optional<TemperatureUnit> temperature_unit;           ///< of every column whose unit is not given in the file
    std::map<std::string, TemperatureUnit> channel_units;      ///< of single columns, against whatever the file says
    std::map<std::string, VoltageUnit> channel_voltage_units;  ///< the same for columns that hold volts
    std::vector<std::string> not_temperatures;                 ///< columns that hold something else, whatever the file says
    /// What the numbers of a column are multiplied by before they are in its unit: 0.1 for tenths of a degree; above 0.
    std::map<std::string, double> channel_scales;
    std::vector<std::string> missing_words;  ///< what stands for "no reading" in this file, besides the words that are no number
    /// Type of every column in V, mV or µV but those headed battery or supply; a column's own type goes before it.
    std::optional<ThermocoupleType> thermocouple;
    std::map<std::string, ThermocoupleType> channel_thermocouples;
    /// Temperature of the reference junction: a column of temperatures, or one temperature [K], not both. Where neither is given,
    /// a column whose heading says reference or cold junction (CJ, CJC, CJT) is taken.
    std::string reference_junction_column;
    std::optional<double> reference_junction_k;
    std::vector<std::string> channels;    ///< only these become traces; empty means every temperature
    QualityRules quality;                 ///< which numbers are flagged as spike, stuck or clipped
    bool correct_daylight_saving = true;  ///< takes the hours of daylight saving time out of a clock without time zone
    std::optional<int> from_line;         ///< data rows before this line are passed over; 1 or more
    std::optional<int> to_line;           ///< data rows after this line are passed over; not before from_line
    std::optional<int> skip_lines;        ///< lines before the heading row; 0 or more
};

/// A longer line is refused: 100,000 columns fit into one twice.
inline constexpr std::size_t kLongestLineBytes = std::size_t{2} << 20;

/// A log file as read: what was understood, and the temperatures.
struct ProbeLog {
    LogReading reading;
    /// One trace a temperature column (or channel of a long file), role unmapped. In a wide file each has every kept row, so all
    /// share their times; in a long file each has the times of its own rows. Missing samples are
    /// NaN with their quality. Elapsed times are the logger's own and may be negative; for clock times time 0 is the first row
    /// and started_at its ISO 8601 text (with zone where the file gives one; empty where the file has no date).
    TraceSet traces;
};

/// Reads a thermocouple log: delimited text with a heading row; one row a time and one column a channel, or one row a sample.
/// What is accepted and how it is decided stands in docs/log-files.md.
/// @param bytes      the whole file as it is on disk
/// @param file_name  as the user named it, for messages
/// @throws InputError with file, line and column; at most 20 problems, then it stops looking. Nothing is guessed where two
/// readings are possible: the error names the option that decides.
[[nodiscard]] ProbeLog read_log(std::string_view bytes, const std::string& file_name, const ReadOptions& options = {});

}  // namespace bakewright::probe
