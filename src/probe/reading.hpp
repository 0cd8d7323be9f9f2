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

/// Says once for all columns that their unit is an assumption, and where the numbers make degrees Fahrenheit likely.
/// @param first_k  first usable sample of each channel of temperatures [K]; NaN where it has none
void remark_assumed_unit(LogReading& reading, std::span<const double> first_k);

void refuse_empty_part(std::size_t rows, const Reading& the);

}  // namespace bakewright::probe
