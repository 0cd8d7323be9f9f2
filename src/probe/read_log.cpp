#include "bakewright/probe/read_log.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "channel_trace.hpp"
#include "columns.hpp"
#include "encoding.hpp"
#include "layout.hpp"
#include "row_scanner.hpp"
#include "table.hpp"
#include "time_column.hpp"

namespace bakewright::probe {
namespace {

void check(const ReadOptions& options, ProblemList& problems) {
    constexpr std::string_view kDelimiters = ",;\t| ";
    if (options.delimiter && kDelimiters.find(*options.delimiter) == std::string_view::npos)
        problems.add(0, "delimiter", "accepted are comma, semicolon, tab, vertical bar and blank");
    if (options.decimal_mark && *options.decimal_mark != '.' && *options.decimal_mark != ',')
        problems.add(0, "decimal mark", "accepted are point and comma");
    if (options.skip_lines && *options.skip_lines < 0) problems.add(0, "skip lines", "accepted is 0 or more");
    if (!options.date_column.empty() && options.time_column.empty())
        problems.add(0, "date column", "name the time column too where the date stands in a column of its own");
    problems.throw_if_any();
}

/// Known steps back get a hint at their usual cause.
std::string_view backward_hint(double step_s, TimeForm form) {
    const double back_s = -step_s;
    if (!is_clock_form(form)) return "; if the logger was started anew, split the file";
    if (back_s > 3000.0 && back_s <= 3600.0) return "; the end of daylight saving time? Export with a time zone or in UTC";
    if (back_s > 41000.0 && back_s <= 43200.0) return "; a 12-hour clock without AM and PM? Export with a 24-hour clock";
    return "; rows out of order, or a clock that was set back";
}

/// Rows in the order of time. A repeated time keeps its first row; a step back is a problem.
std::vector<std::size_t> keep_rows(const LogTable& table, const ResolvedTimes& times, const std::string& heading,
                                   LogReading& reading, ProblemList& problems) {
    std::vector<std::size_t> kept;
    LogFault repeated{{}, 0, "rows have the time of the row before; the first row of each time was kept"};
    std::size_t last = table.lines.size();
    for (std::size_t i = 0; i < table.lines.size(); ++i) {
        if (!std::isfinite(times.time_s[i])) continue;
        const double step_s = last < table.lines.size() ? times.time_s[i] - times.time_s[last] : 1.0;
        if (step_s < 0.0) {
            problems.add(table.lines[i], heading,
                         fmt::format("time runs backwards: {} comes after {} of line {}{}", table.times[i].text,
                                     table.times[last].text, table.lines[last], backward_hint(step_s, times.form)));
        }
        if (step_s == 0.0) {
            count_fault(repeated, table.lines[i]);
            continue;
        }
        last = i;
        kept.push_back(i);
    }
    if (repeated.count > 0) reading.faults.push_back(std::move(repeated));
    return kept;
}

void describe_file(LogReading& reading, const Layout& layout) {
    reading.delimiter = layout.delimiter;
    reading.decimal_mark = layout.decimal_mark;
    reading.preamble = layout.preamble;
    reading.heading_line = layout.heading_line;
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

/// Names that had to be changed so that each is there once.
void remark_renamed(LogReading& reading) {
    for (const LogChannel& channel : reading.channels) {
        const auto same = [&](const LogChannel& other) {
            return other.column < channel.column && other.heading == channel.heading;
        };
        if (channel.heading.empty() || std::none_of(reading.channels.begin(), reading.channels.end(), same)) continue;
        reading.remarks.push_back(
            fmt::format("column {} has the heading '{}' again and is named '{}'", channel.column, channel.heading, channel.name));
    }
}

/// Says once for all columns that their unit is an assumption, and where the numbers make degrees Fahrenheit likely.
void remark_assumed_unit(LogReading& reading, const TraceSet& traces) {
    std::vector<std::string> names;
    bool warm_start = false;
    for (LogChannel& channel : reading.channels) {
        if (channel.quantity != Quantity::temperature || channel.found != "assumed") continue;
        channel.unit = "°C";
        names.push_back(channel.name);
        const Trace* trace = traces.find(channel.name);
        if (trace == nullptr) continue;
        const Trace usable = trace->usable_samples();
        warm_start |= usable.size() > 0 && usable.temperature_k.front() >= 323.15 && usable.temperature_k.front() <= 383.15;
    }
    if (names.empty()) return;
    constexpr std::size_t kShown = 6;
    std::string list = fmt::format(
        "{}", fmt::join(names.begin(), names.begin() + static_cast<std::ptrdiff_t>(std::min(names.size(), kShown)), ", "));
    if (names.size() > kShown) list += fmt::format(" and {} more", names.size() - kShown);
    reading.remarks.push_back(
        fmt::format("the file gives no unit for {}: read as °C{}", list,
                    warm_start ? "; the log starts warm: if the logger writes °F, say so with the temperature unit" : ""));
}

void make_traces(ProbeLog& log, std::vector<Column>& columns, LogTable& table, const std::vector<std::size_t>& kept,
                 const ResolvedTimes& times) {
    std::vector<double> time_s;
    for (const std::size_t row : kept) time_s.push_back(times.time_s[row]);
    for (std::size_t c = 0; c < columns.size(); ++c) {
        if (columns[c].channel.quantity == Quantity::temperature)
            log.traces.traces.push_back(make_trace(columns[c], table.columns[c], kept, time_s));
        else
            columns[c].channel.missing = columns[c].is_read ? table.columns[c].blanks : 0;
        log.reading.channels.push_back(columns[c].channel);
    }
    log.traces.started_at = times.started_at;
    log.reading.rows_kept = kept.size();
    log.reading.first_time_s = time_s.empty() ? 0.0 : time_s.front();
    log.reading.last_time_s = time_s.empty() ? 0.0 : time_s.back();
}

}  // namespace

ProbeLog read_log(std::string_view bytes, const std::string& file_name, const ReadOptions& options) {
    ProblemList problems(file_name);
    check(options, problems);
    const DecodedText decoded = decode_text(bytes, problems);
    const Layout layout = find_layout(decoded.text(), options, problems);

    ProbeLog log;
    log.reading.file = file_name;
    log.reading.encoding = decoded.encoding;
    describe_file(log.reading, layout);

    std::vector<Column> columns = plan_columns(layout);
    const TimeColumns time = choose_time(columns, layout, options, problems);
    apply_options(columns, options, problems);
    problems.throw_if_any();
    log.reading.remarks.insert(log.reading.remarks.end(), time.remarks.begin(), time.remarks.end());

    RowScanner rows(decoded.text().substr(layout.first_data_offset), layout.delimiter, layout.first_data_line);
    LogTable table = read_table(rows, layout, columns, time, problems);
    log.reading.rows_read = table.lines.size();
    log.reading.faults = table.faults;

    const TimeHints hints = time_hints(columns, time, options);
    const ResolvedTimes times = resolve_times(table.times, table.lines, hints, problems);
    describe_time(log.reading, times, hints);
    const std::vector<std::size_t> kept = keep_rows(table, times, hints.heading, log.reading, problems);
    for (std::size_t c = 0; c < columns.size(); ++c)
        settle_quantity(columns[c], table.columns[c], table.lines.size(), log.reading.remarks, problems);
    problems.throw_if_any();

    make_traces(log, columns, table, kept, times);
    remark_renamed(log.reading);
    remark_assumed_unit(log.reading, log.traces);
    if (log.traces.traces.empty()) problems.fail(layout.heading_line, "", "the file has no column of temperatures");
    return log;
}

}  // namespace bakewright::probe
