// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/probe/log_reading.hpp"
#include "bakewright/probe/read_log.hpp"
#include "layout.hpp"
#include "problem_list.hpp"
#include "time_column.hpp"

namespace bakewright::probe {

/// Which columns tell the time.
struct TimeColumns {
    std::size_t time = 0;
    std::optional<std::size_t> date;
    std::vector<std::string> remarks;
};

/// A column while the file is being read.
struct Column {
    LogChannel channel;
    std::optional<TemperatureUnit> unit;  ///< of its numbers; absent where the file does not say
    UnitKind unit_kind = UnitKind::none;
    std::optional<double> volts;                   ///< volts in one of its numbers; absent where it holds no volts
    std::optional<ThermocoupleType> thermocouple;  ///< its volts become temperatures
    std::optional<ThermocoupleType> asked_type;    ///< the type the user named for this column
    bool is_read = true;                           ///< its cells are looked at
    double scale = 1.0;                            ///< its numbers times this are in its unit
    std::optional<std::size_t> name_beside;        ///< the column whose cells are the name of this one
    std::optional<std::size_t> unit_beside;        ///< the column whose cells are the unit of this one's
    std::string unexplained;                       ///< what looks like a unit of temperature and was not understood
};

/// Names, units and, as far as headings tell, quantities of all columns. (columns.cpp)
[[nodiscard]] std::vector<Column> plan_columns(const Layout& layout);

/// Units of columns that say none themselves, from a column of units beside them or from the lines above the headings. To be
/// asked once the columns of time are known.
void take_units_around(std::vector<Column>& columns, const Layout& layout);

/// The heading begins with, or holds, a word for time or date. (time_choice.cpp)
[[nodiscard]] bool names_time(std::string_view heading);

/// The heading holds a word for a value and nothing that tells columns apart. (long_columns.cpp)
[[nodiscard]] bool names_value(std::string_view heading);

/// The column a user means by a heading, a name or a position. Adds a problem that lists the headings where there is none.
[[nodiscard]] std::optional<std::size_t> column_of(const std::vector<Column>& columns, const std::string& wanted,
                                                   const std::string& option, ProblemList& problems);

/// Puts the user's units and choice of channels over what was found.
void apply_options(std::vector<Column>& columns, const ReadOptions& options, ProblemList& problems);

/// Finds the time column: the option; a heading that says so; else the first column of dates or h:mm:ss. (time_choice.cpp)
/// @throws InputError where there is none
[[nodiscard]] TimeColumns choose_time(std::vector<Column>& columns, const Layout& layout, const ReadOptions& options,
                                      ProblemList& problems);

/// What the time column's heading and unit say.
[[nodiscard]] TimeHints time_hints(const std::vector<Column>& columns, const TimeColumns& time, const ReadOptions& options);

}  // namespace bakewright::probe
