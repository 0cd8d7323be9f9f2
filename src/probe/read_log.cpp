// SPDX-License-Identifier: Apache-2.0
#include "bakewright/probe/read_log.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <limits>

#include "channel_trace.hpp"
#include "columns.hpp"
#include "encoding.hpp"
#include "iso_time.hpp"
#include "layout.hpp"
#include "long_rows.hpp"
#include "reading.hpp"
#include "row_scanner.hpp"
#include "series.hpp"
#include "table.hpp"
#include "time_column.hpp"
#include "times_above.hpp"

namespace bakewright::probe {
namespace {

/// The junction's own trace, whether the user chose its column or not.
ReferenceJunction reference_junction(Series& series, std::optional<std::size_t> index, const ReadOptions& options) {
    if (!index) return options.reference_junction_k ? ReferenceJunction(*options.reference_junction_k) : ReferenceJunction();
    Column column = series.columns[*index];
    return ReferenceJunction(make_trace(column, series.cells[*index], series.times_of(*index), {}));
}

void make_traces(ProbeLog& log, Series& series, const ReferenceJunction& reference) {
    for (std::size_t c = 0; c < series.columns.size(); ++c) {
        Column& column = series.columns[c];
        if (column.channel.quantity == Quantity::temperature)
            log.traces.traces.push_back(make_trace(column, series.cells[c], series.times_of(c), reference));
        else
            column.channel.missing = column.is_read ? series.cells[c].blanks : 0;
        log.reading.channels.push_back(column.channel);
    }
    log.traces.started_at = series.started_at;
}

void describe_rows(LogReading& reading, const Series& series) {
    reading.rows_read = series.rows;
    bool any = false;
    for (const SampleTimes& times : series.times) {
        reading.rows_kept += times.kept.size();
        if (times.kept.empty()) continue;
        const double first_s = times.time_s[times.kept.front()], last_s = times.time_s[times.kept.back()];
        reading.first_time_s = any ? std::min(reading.first_time_s, first_s) : first_s;
        reading.last_time_s = any ? std::max(reading.last_time_s, last_s) : last_s;
        any = true;
    }
}

void add_faults(LogReading& reading, std::vector<LogFault>& faults) {
    reading.faults.insert(reading.faults.end(), std::make_move_iterator(faults.begin()), std::make_move_iterator(faults.end()));
}

/// No row of a logger is that long; a file of one endless line is refused before it is taken apart.
void refuse_long_lines(std::string_view bytes, ProblemList& problems) {
    for (std::size_t from = 0; bytes.size() - from > kLongestLineBytes;) {
        const std::size_t end = bytes.substr(from, kLongestLineBytes).find_last_of("\r\n");
        if (end == std::string_view::npos)
            problems.fail(0, "",
                          fmt::format("a line has more than {} bytes (after {} of the file): this is not a table of a logger",
                                      kLongestLineBytes, from));
        from += end + 1;
    }
}

TimedRows timed_rows(std::span<const int> lines, std::span<const TimeText> texts, std::vector<double> time_s,
                     const ResolvedTimes& times, const TimeHints& hints, const Reading& the) {
    return {lines, texts, std::move(time_s), hints.heading, times.form, times.started_at, the.options.correct_daylight_saving,
            {}};
}

bool same_cell(const ColumnCells& cells, std::size_t a, std::size_t b) {
    const bool both_missing = std::isnan(cells.value[a]) && std::isnan(cells.value[b]);
    return cells.quality[a] == cells.quality[b] && (both_missing || cells.value[a] == cells.value[b]);
}

Series read_wide(RowScanner& rows, std::vector<Column> columns, const TimeColumns& time, const Reading& the) {
    apply_options(columns, the.options, the.problems);
    the.problems.throw_if_any();
    LogTable table = read_table(rows, the.layout, columns, time, the.options, the.problems);
    add_faults(the.reading, table.faults);
    the.reading.notes = std::move(table.notes);
    refuse_empty_part(table.lines.size(), the);
    const TimeHints hints = time_hints(columns, time, the.options);
    ResolvedTimes times = resolve_times(table.times, table.lines, hints, the.problems);
    describe_time(the.reading, times, hints);
    Series series{std::move(columns), std::move(table.columns), {}, table.lines.size(), times.started_at};
    TimedRows timed = timed_rows(table.lines, table.times, std::move(times.time_s), times, hints, the);
    timed.same_values = [&series](std::size_t a, std::size_t b) {
        return std::all_of(series.cells.begin(), series.cells.end(),
                           [&](const ColumnCells& cells) { return cells.value.empty() || same_cell(cells, a, b); });
    };
    series.times.push_back(order_rows(std::move(timed), the.reading, the.problems));
    return series;
}

/// Rows of a file that gives one channel after the other are put side by side, so that a midnight is found only once.
std::vector<std::size_t> order_of_time(const LongTable& table) {
    std::vector<std::size_t> order;
    order.reserve(table.lines.size());
    for (std::size_t k = 0; order.size() < table.lines.size(); ++k)
        for (const std::vector<std::size_t>& own : table.rows)
            if (k < own.size()) order.push_back(own[k]);
    return order;
}

ResolvedTimes resolve_long_times(const LongTable& table, const TimeHints& hints, ProblemList& problems) {
    if (!table.is_in_blocks()) return resolve_times(table.times, table.lines, hints, problems);
    const std::vector<std::size_t> order = order_of_time(table);
    std::vector<TimeText> texts;
    std::vector<int> lines;
    for (const std::size_t row : order) {
        texts.push_back(table.times[row]);
        lines.push_back(table.lines[row]);
    }
    ResolvedTimes times = resolve_times(texts, lines, hints, problems);
    std::vector<double> by_row(times.time_s.size());
    for (std::size_t i = 0; i < order.size(); ++i) by_row[order[i]] = times.time_s[i];
    times.time_s = std::move(by_row);
    return times;
}

SampleTimes channel_times(const LongTable& table, std::size_t channel, const ResolvedTimes& times, const TimeHints& hints,
                          const Reading& the) {
    std::vector<int> lines;
    std::vector<TimeText> texts;
    std::vector<double> time_s;
    for (const std::size_t row : table.rows[channel]) {
        lines.push_back(table.lines[row]);
        texts.push_back(table.times[row]);
        time_s.push_back(times.time_s[row]);
    }
    TimedRows timed = timed_rows(lines, texts, std::move(time_s), times, hints, the);
    timed.same_values = [&](std::size_t a, std::size_t b) { return same_cell(table.cells[channel], a, b); };
    return order_rows(std::move(timed), the.reading, the.problems);
}

Series read_long(RowScanner& rows, const std::vector<Column>& columns, const TimeColumns& time, const LongColumns& where,
                 const Reading& the) {
    the.reading.name_heading = columns[where.name].channel.heading;
    the.reading.value_heading = columns[where.value].channel.heading;
    LongTable table = read_long_table(rows, the.layout, time, where, the.options, the.problems);
    add_faults(the.reading, table.faults);
    Series series{plan_long_columns(table, columns, where, the.layout), {}, {}, table.lines.size(), {}};
    apply_options(series.columns, the.options, the.problems);
    the.problems.throw_if_any();
    for (std::size_t c = 0; c < series.columns.size(); ++c)
        for (double& value : table.cells[c].value) value *= series.columns[c].scale;
    refuse_empty_part(table.lines.size(), the);
    const TimeHints hints = time_hints(columns, time, the.options);
    const ResolvedTimes times = resolve_long_times(table, hints, the.problems);
    describe_time(the.reading, times, hints);
    series.started_at = times.started_at;
    for (std::size_t channel = 0; channel < table.names.size(); ++channel)
        series.times.push_back(channel_times(table, channel, times, hints, the));
    series.cells = std::move(table.cells);
    return series;
}

/// Where the first row was not the earliest, clock times are counted from the earliest all the same.
void count_from_earliest(Series& series, TimeForm form) {
    double earliest_s = std::numeric_limits<double>::infinity();
    for (const SampleTimes& times : series.times)
        if (!times.kept.empty()) earliest_s = std::min(earliest_s, times.time_s[times.kept.front()]);
    if (!is_clock_form(form) || !std::isfinite(earliest_s) || earliest_s == 0.0) return;
    for (SampleTimes& times : series.times)
        for (double& time_s : times.time_s) time_s -= earliest_s;
    series.started_at = moved_start(series.started_at, earliest_s);
}

/// Flags of the rules, and what they and the gaps come to.
void flag_and_count(ProbeLog& log, const QualityRules& rules) {
    const std::vector<QualityCounts> counts = flag_quality(log.traces.traces, rules, log.reading.remarks);
    std::size_t trace = 0;
    for (LogChannel& channel : log.reading.channels) {
        if (channel.quantity != Quantity::temperature) continue;
        const QualityCounts& found = counts[trace++];
        channel.spikes = found.spikes;
        channel.stuck = found.stuck;
        channel.clipped = found.clipped;
        channel.longest_gap_s = found.longest_gap_s;
        channel.longest_gap_from_s = found.longest_gap_s > 0.0 ? found.longest_gap_from_s : 0.0;
    }
}

/// Coldest, hottest and first usable sample of each channel; returns the first ones [K].
std::vector<double> find_ranges(ProbeLog& log) {
    std::vector<double> first_k;
    for (LogChannel& channel : log.reading.channels) {
        if (channel.quantity != Quantity::temperature) continue;
        const Trace usable = log.traces.traces[first_k.size()].usable_samples();
        first_k.push_back(usable.size() > 0 ? usable.temperature_k.front() : std::numeric_limits<double>::quiet_NaN());
        if (usable.size() == 0) continue;
        const auto [least, most] = std::minmax_element(usable.temperature_k.begin(), usable.temperature_k.end());
        channel.least_k = *least;
        channel.most_k = *most;
    }
    return first_k;
}

/// Turns what was read into temperatures.
void finish(ProbeLog& log, Series& series, const Reading& the) {
    for (std::size_t c = 0; c < series.columns.size(); ++c) {
        settle_cell_voltage(series.columns[c], series.cells[c], the.options, the.problems);
        settle_quantity(series.columns[c], series.cells[c], series.rows_of(c), log.reading, the.problems);
    }
    const auto junction = find_reference_junction(series.columns, the.options, log.reading.remarks, the.problems);
    the.problems.throw_if_any();
    report_clock_drift(series, log.reading);
    count_from_earliest(series, log.reading.time_form);
    make_traces(log, series, reference_junction(series, junction, the.options));
    flag_and_count(log, the.options.quality);
    describe_rows(log.reading, series);
    remark_renamed(log.reading);
    settle_units(series.columns, find_ranges(log), the);
    log.reading.started_at = log.traces.started_at;
    const bool any = !log.traces.traces.empty();
    ask_about_voltages(series.columns, the.layout.heading_line, log.reading.remarks, the.problems);
    if (!any) the.problems.fail(the.layout.heading_line, "", "the file has no column of temperatures");
}

/// A log whose rows tell no time and whose interval stands in the lines above, read with a column of times in front.
/// @param has_made_times  its first column is not in the file
void read_text(std::string_view text, ProbeLog& log, const ReadOptions& options, ProblemList& problems, bool has_made_times);

void read_by_interval(std::string_view text, const Layout& layout, const TimesAbove& above, ProbeLog& log,
                      const ReadOptions& options, ProblemList& problems) {
    read_text(with_times(text, layout, above.interval_s), log, options, problems, true);
    LogReading& reading = log.reading;
    reading.remarks.push_back(
        fmt::format("no column tells the time: rows are {:g} s apart by the line '{}'", above.interval_s, above.interval_line));
    reading.time_found = "interval in the lines above";
    reading.started_at = log.traces.started_at = above.started_at;
    std::erase_if(reading.channels, [](const LogChannel& channel) { return channel.column == 0; });
}

void read_text(std::string_view text, ProbeLog& log, const ReadOptions& options, ProblemList& problems, bool has_made_times) {
    const Layout layout = find_layout(text, options, problems);
    std::vector<Column> columns = plan_columns(layout);
    if (has_made_times)
        for (Column& column : columns) --column.channel.column;
    const auto above = options.time_column.empty() && !has_made_times ? times_above(columns, layout) : std::nullopt;
    if (above) return read_by_interval(text, layout, *above, log, options, problems);
    std::vector<std::string> remarks = std::move(log.reading.remarks);
    describe_file(log.reading, layout);
    log.reading.remarks.insert(log.reading.remarks.end(), remarks.begin(), remarks.end());
    const TimeColumns time = choose_time(columns, layout, options, problems);
    take_units_around(columns, layout);
    log.reading.remarks.insert(log.reading.remarks.end(), time.remarks.begin(), time.remarks.end());
    const auto where = find_long_columns(columns, time, layout, options, problems);

    RowScanner rows(text.substr(layout.first_data_offset), layout.delimiter, layout.first_data_line);
    const Reading the{layout, options, log.reading, problems};
    Series series = where ? read_long(rows, columns, time, *where, the) : read_wide(rows, std::move(columns), time, the);
    finish(log, series, the);
}

}  // namespace

ProbeLog read_log(std::string_view bytes, const std::string& file_name, const ReadOptions& options) {
    ProblemList problems(file_name);
    check(options, problems);
    refuse_long_lines(bytes, problems);
    const DecodedText decoded = decode_text(bytes, problems);
    ProbeLog log;
    log.reading.file = file_name;
    log.reading.encoding = decoded.encoding;
    if (decoded.padding_bytes > 0) log.reading.remarks.push_back(padding_remark(decoded.padding_bytes));
    read_text(decoded.text(), log, options, problems, false);
    return log;
}

}  // namespace bakewright::probe
