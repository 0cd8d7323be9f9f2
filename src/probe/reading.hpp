// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <span>

#include "bakewright/probe/read_log.hpp"
#include "columns.hpp"
#include "layout.hpp"
#include "problem_list.hpp"
#include "time_column.hpp"

/// What reading a log whole and reading it page by page share.
namespace bakewright::probe {

/// What the parts of reading one file share.
struct Reading {
    const Layout& layout;
    const ReadOptions& options;
    LogReading& reading;
    ProblemList& problems;
};

/// @throws InputError where an option is not what it may be
void check(const ReadOptions& options, ProblemList& problems);

void describe_file(LogReading& reading, const Layout& layout);
void describe_time(LogReading& reading, const ResolvedTimes& times, const TimeHints& hints);

/// Names that had to be changed so that each is there once.
void remark_renamed(LogReading& reading);

/// Settles units that nothing in the file tells, channel by channel: where °C is the only reading that makes sense a remark says
/// so; where °F (or K, or no temperature at all) makes sense too, a problem asks, with what each reading would mean. A channel
/// whose unit is told is asked about where its first sample makes sense beside the others only in the other unit.
/// (unit_question.cpp)
/// @param first_k  first usable sample of each channel of temperatures [K]; NaN where it has none
void settle_units(std::span<const Column> columns, std::span<const double> first_k, const Reading& the);

/// A heading that names the air of booth or oven. (map_channels.cpp)
[[nodiscard]] bool names_air(std::string_view name);

void refuse_empty_part(std::size_t rows, const Reading& the);

}  // namespace bakewright::probe
