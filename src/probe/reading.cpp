// SPDX-License-Identifier: Apache-2.0
#include "reading.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace bakewright::probe {

void check(const ReadOptions& options, ProblemList& problems) {
    constexpr std::string_view kDelimiters = ",;\t| ";
    if (options.delimiter && kDelimiters.find(*options.delimiter) == std::string_view::npos)
        problems.add(0, "delimiter", "accepted are comma, semicolon, tab, vertical bar and blank");
    if (options.decimal_mark && *options.decimal_mark != '.' && *options.decimal_mark != ',')
        problems.add(0, "decimal mark", "accepted are point and comma");
    if (options.skip_lines && *options.skip_lines < 0) problems.add(0, "skip lines", "accepted is 0 or more");
    if (!options.date_column.empty() && options.time_column.empty())
        problems.add(0, "date column", "name the time column too where the date stands in a column of its own");
    if (options.reference_junction_k && !options.reference_junction_column.empty())
        problems.add(0, "reference junction", "give either its column or its temperature");
    if (options.reference_junction_k && !(*options.reference_junction_k >= 233.15 && *options.reference_junction_k <= 373.15))
        problems.add(0, "reference junction", "accepted are -40 to 100 degC, where the terminals of a logger may be");
    if (options.from_line && *options.from_line < 1) problems.add(0, "from line", "accepted is 1 or more");
    if (options.to_line && *options.to_line < options.from_line.value_or(1))
        problems.add(0, "to line", "accepted is a line that is not before the first one taken");
    for (const auto& [column, scale] : options.channel_scales)
        if (!(scale > 0.0 && scale <= 1e6)) problems.add(0, "scale", "accepted is a number above 0, such as 0.1 for tenths");
    problems.throw_if_any();
    options.quality.check();
}

void describe_file(LogReading& reading, const Layout& layout) {
    reading.delimiter = layout.delimiter;
    reading.decimal_mark = layout.decimal_mark;
    reading.preamble = layout.preamble;
    reading.heading_line = layout.heading_line;
    reading.second_heading_line = layout.second_heading_line;
    reading.units_line = layout.units_line;
    reading.first_data_line = layout.first_data_line;
    reading.remarks = layout.remarks;
}

void describe_time(LogReading& reading, const ResolvedTimes& times, const TimeHints& hints) {
    reading.time_heading = hints.heading;
    reading.time_form = times.form;
    reading.time_found = times.found;
    reading.remarks.insert(reading.remarks.end(), times.remarks.begin(), times.remarks.end());
}

void remark_renamed(LogReading& reading) {
    constexpr std::size_t kMost = 20;
    std::set<std::string_view> headings;
    std::size_t count = 0;
    for (const LogChannel& channel : reading.channels) {
        if (channel.heading.empty() || headings.insert(channel.heading).second || ++count > kMost) continue;
        reading.remarks.push_back(
            fmt::format("column {} has the heading '{}' again and is named '{}'", channel.column, channel.heading, channel.name));
    }
    if (count > kMost) reading.remarks.push_back(fmt::format("{} more columns have the heading of another one", count - kMost));
}

void refuse_empty_part(std::size_t rows, const Reading& the) {
    if (rows == 0 && (the.options.from_line || the.options.to_line))
        the.problems.fail(0, "from line, to line", "no row of data stands between these lines");
}

}  // namespace bakewright::probe
