// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/log_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "bakewright/report/plain_text.hpp"

namespace bakewright::report {
namespace {

/// What a column became: the zone or other thing it is mapped to, or why it is not a temperature.
std::string became(const probe::LogChannel& channel, const probe::MappingResult& mapping) {
    if (channel.quantity != probe::Quantity::temperature) return std::string(probe::quantity_name(channel.quantity));
    for (const probe::ChannelMatch& match : mapping.matched)
        if (match.channel == channel.name) return fmt::format("{} ({}, {})", match.name, trace_role_name(match.role), match.how);
    return "kept, not mapped";
}

std::string range_text(const probe::LogChannel& channel, const Units& units) {
    if (std::isnan(channel.least_k)) return "";
    return fmt::format("{:.1f} to {:.1f}", temperature_in(channel.least_k, units), temperature_in(channel.most_k, units));
}

/// "3 spike, 12 stuck"; blank where nothing is flagged.
std::string flagged_text(const probe::LogChannel& channel) {
    std::string text;
    const auto add = [&](std::size_t count, SampleQuality quality) {
        if (count > 0) text += fmt::format("{}{} {}", text.empty() ? "" : ", ", count, sample_quality_name(quality));
    };
    add(channel.spikes, SampleQuality::spike);
    add(channel.stuck, SampleQuality::stuck);
    add(channel.clipped, SampleQuality::clipped);
    return text;
}

/// The longest gap of the rows, and of each channel that has a longer one.
std::vector<std::string> gap_texts(const probe::LogReading& reading) {
    std::vector<std::string> texts;
    if (reading.longest_gap_s > 0.0)
        texts.push_back(fmt::format("the longest gap between rows is {}", format_duration(reading.longest_gap_s)));
    for (const probe::LogChannel& channel : reading.channels)
        if (channel.longest_gap_s > reading.longest_gap_s)
            texts.push_back(fmt::format("'{}' has no value for {}, from {} after time 0 on", channel.name,
                                        format_duration(channel.longest_gap_s), format_duration(channel.longest_gap_from_s)));
    return texts;
}

std::string found_text(const probe::LogChannel& channel) {
    return channel.conversion.empty()
               ? channel.found
               : fmt::format("{}; {}", channel.found, channel.conversion.substr(0, channel.conversion.find(',')));
}

Table channel_table(const probe::LogReading& reading, const probe::MappingResult& mapping, const Units& units) {
    Table table({{"column", Align::left, true},
                 {"unit"},
                 {"found"},
                 {"numbers", Align::right},
                 {"other\ncells", Align::right},
                 {"flagged", Align::right},
                 {fmt::format("range\n{}", temperature_symbol(units)), Align::right},
                 {"became", Align::left, true}});
    for (const probe::LogChannel& channel : reading.channels)
        table.add({channel.heading, channel.unit, found_text(channel), fmt::format("{}", channel.numbers),
                   fmt::format("{}", channel.missing + channel.open_circuit + channel.out_of_range), flagged_text(channel),
                   range_text(channel, units), became(channel, mapping)});
    return table;
}

/// A second log's channels go by the names they were given where the first log has the same.
probe::LogReading with_new_names(probe::LogReading reading, const std::vector<std::pair<std::string, std::string>>& renamed) {
    for (const auto& [old_name, new_name] : renamed)
        for (probe::LogChannel& channel : reading.channels)
            if (channel.name == old_name) channel.name = new_name;
    return reading;
}

}  // namespace

std::vector<std::string> log_remarks(const probe::LogReading& reading, const probe::MappingResult& mapping) {
    std::vector<std::string> remarks = reading.remarks;
    remarks.insert(remarks.end(), mapping.remarks.begin(), mapping.remarks.end());
    for (const probe::LogFault& fault : reading.faults) remarks.push_back(fault.text());
    for (std::string& gap : gap_texts(reading)) remarks.push_back(std::move(gap));
    return remarks;
}

std::string log_sentence(const probe::LogReading& reading) {
    const std::string rows = reading.rows_kept == reading.rows_read
                                 ? fmt::format("all {} rows", reading.rows_read)
                                 : fmt::format("{} of {} rows", reading.rows_kept, reading.rows_read);
    const std::string start = reading.started_at.empty() ? "; no start by the clock" : ", from " + one_line(reading.started_at);
    return fmt::format("Read {} of {}: {}{}.", rows, one_line(reading.file),
                       format_duration(reading.last_time_s - reading.first_time_s), start);
}

Table channel_summary(const probe::LogReading& reading, const probe::MappingResult& mapping, const Units& units) {
    Table table({{"Column", Align::left, true},
                 {"Became", Align::left, true},
                 {fmt::format("Range\n{}", temperature_symbol(units)), Align::right},
                 {"Readings", Align::right},
                 {"Left\nout", Align::right}});
    for (const probe::LogChannel& channel : reading.channels) {
        if (channel.quantity != probe::Quantity::temperature) continue;
        const auto match = std::ranges::find(mapping.matched, channel.name, &probe::ChannelMatch::channel);
        const std::size_t lost =
            channel.missing + channel.open_circuit + channel.out_of_range + channel.spikes + channel.stuck + channel.clipped;
        table.add({channel.heading,
                   match == mapping.matched.end() ? Cell("no zone of this name", Mark::strong) : Cell(match->name),
                   range_text(channel, units), fmt::format("{}", channel.numbers), fmt::format("{}", lost)});
    }
    return table;
}

std::string log_text(const probe::LogReading& read, const probe::MappingResult& mapping, const TextOptions& options,
                     const std::vector<std::pair<std::string, std::string>>& renamed) {
    const probe::LogReading reading = with_new_names(read, renamed);
    std::string text = fmt::format("read {} as {}, separated by {}, decimal {}\n", one_line(reading.file), reading.encoding,
                                   probe::delimiter_name(reading.delimiter), reading.decimal_mark == ',' ? "comma" : "point");
    if (!reading.preamble.empty()) text += fmt::format("{} lines before the heading were passed over\n", reading.preamble.size());
    text += paragraph_text(
        fmt::format("time from '{}' as {} ({}), {} of {} rows, {} to {} after time 0", reading.time_heading,
                    probe::time_form_name(reading.time_form), reading.time_found, reading.rows_kept, reading.rows_read,
                    format_duration(reading.first_time_s), format_duration(reading.last_time_s)),
        options);
    if (!reading.name_heading.empty())
        text += fmt::format("one reading per row: '{}' names the channel, '{}' holds its value\n", one_line(reading.name_heading),
                            one_line(reading.value_heading));
    if (!reading.started_at.empty()) text += fmt::format("time 0 is {}\n", one_line(reading.started_at));
    text += "\n" + channel_table(reading, mapping, options.units).text(options.style);
    const std::vector<std::string> remarks = log_remarks(reading, mapping);
    if (!remarks.empty()) text += "\n" + list_text("Remarks", remarks, options);
    return text;
}

std::string first_samples_text(const TraceSet& traces, const TextOptions& options) {
    std::size_t most = 0;
    for (const Trace& trace : traces.traces) most = std::max(most, trace.size());
    if (most == 0) return {};
    const std::vector<double>& times_s = traces.traces.front().time_s;
    const bool one_clock =
        std::all_of(traces.traces.begin(), traces.traces.end(), [&](const Trace& trace) { return trace.time_s == times_s; });
    std::vector<Column> columns{{fmt::format("{}", temperature_symbol(options.units)), Align::left, true}};
    for (std::size_t i = 0; i < most; ++i)
        columns.push_back({one_clock ? fmt::format("{:.1f} s", times_s[i]) : fmt::format("sample {}", i + 1), Align::right});
    Table table(std::move(columns));
    for (const Trace& trace : traces.traces) {
        std::vector<Cell> cells{one_line(trace.name)};
        for (std::size_t i = 0; i < most; ++i)
            cells.emplace_back(i >= trace.size() ? std::string()
                               : trace.usable(i) ? fmt::format("{:.1f}", temperature_in(trace.temperature_k[i], options.units))
                               : trace.quality.empty() ? std::string(sample_quality_name(SampleQuality::missing))
                                                       : std::string(sample_quality_name(trace.quality[i])));
        table.add(std::move(cells));
    }
    return "First samples\n\n" + table.text(options.style);
}

std::string probes_text(const probe::ProbeSet& set, const probe::ProbeUse& use, const TextOptions& options) {
    Table table({{"probe on", Align::left, true},
                 {"id", Align::left, true},
                 {"type"},
                 {"class"},
                 {"attachment"},
                 {"reads to\nthe air %", Align::right},
                 {"calibrated"},
                 {"due"}});
    for (const probe::ProbeRecord& record : set.probes)
        table.add({record.channel, record.id, std::string(word_of(record.type)),
                   record.tolerance ? std::string(word_of(*record.tolerance)) : "", std::string(word_of(record.attachment)),
                   fmt::format("{:.0f}", 100.0 * record.air_share), record.calibrated_on, record.due_on});
    std::string text = fmt::format("probes: {}\n\n{}", one_line(set.title), table.text(options.style));
    std::vector<std::string> remarks = use.remarks;
    if (!use.corrected.empty())
        remarks.insert(remarks.begin(),
                       fmt::format("readings were corrected by calibration: {}", fmt::join(use.corrected, ", ")));
    if (!remarks.empty()) text += "\n" + list_text("Remarks on the probes", remarks, options);
    return text;
}

std::string merge_text(const probe::MergedLogs& merged, const TextOptions& options) {
    const probe::LogAlignment& found = merged.alignment;
    const auto seconds = [](double time_s) { return fmt::format("{:+.1f} s", time_s); };
    std::string text;
    if (found.clocks_compared)
        text += fmt::format("by its clock the second log begins {} after the first\n", seconds(found.clock_offset_s));
    text += fmt::format("{} {} added to the times of the second log{}\n", seconds(found.shift_s),
                        found.clocks_compared ? "more were" : "were", found.is_given ? ", as given" : "");
    std::vector<std::string> remarks;
    if (!found.is_given) {
        const auto degrees = [&](double difference_k) { return format_temperature_difference(difference_k, options.units, 2); };
        text += paragraph_text(
            fmt::format("found by aligning '{}' with '{}' over {}: correlation {:.4f}, they differ by {} (standard deviation); a "
                        "shift by {:.1f} s more or less would add {}",
                        found.first_air, found.second_air, format_duration(found.overlap_s), found.correlation,
                        degrees(found.difference_k), found.half_width_s, degrees(0.2)),
            options);
    }
    constexpr double kWorthTellingSPerH = 2.0;
    if (found.drift_s_per_h && std::abs(*found.drift_s_per_h) >= kWorthTellingSPerH)
        remarks.push_back(
            fmt::format("the second logger's clock gains {:+.1f} s in an hour on the first one's", *found.drift_s_per_h));
    for (const auto& [old_name, new_name] : merged.renamed)
        remarks.push_back(fmt::format("both logs have a channel '{}': the second log's is '{}'", old_name, new_name));
    if (!remarks.empty()) text += "\n" + list_text("Remarks on the two logs", remarks, options);
    return text;
}

}  // namespace bakewright::report
