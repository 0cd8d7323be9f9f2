// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <cstdint>
#include <string>
#include <vector>

#include "bakewright/probe/paged_log.hpp"
#include "bakewright/probe/read_log.hpp"

/// Whether a log that was read page by page is the one that was read whole.
namespace same_log {

/// Everything a reading says, as text; numbers to the last bit.
inline std::string told(const bakewright::probe::LogReading& reading) {
    std::string text =
        fmt::format("{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}\n", reading.encoding, reading.delimiter, reading.decimal_mark,
                    fmt::join(reading.preamble, "/"), reading.heading_line, reading.second_heading_line, reading.units_line,
                    reading.first_data_line, reading.time_heading, static_cast<int>(reading.time_form), reading.time_found,
                    reading.started_at, reading.rows_read, reading.rows_kept);
    text += fmt::format("{}|{}|{}\n", reading.first_time_s, reading.last_time_s, reading.longest_gap_s);
    for (const bakewright::probe::LogChannel& c : reading.channels)
        text +=
            fmt::format("{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}\n", c.name, c.heading, c.column,
                        static_cast<int>(c.quantity), c.unit, c.found, c.conversion, c.numbers, c.missing, c.open_circuit,
                        c.out_of_range, c.spikes, c.stuck, c.clipped, c.longest_gap_s, c.longest_gap_from_s, c.least_k, c.most_k);
    for (const std::string& remark : reading.remarks) text += remark + "\n";
    for (const bakewright::probe::LogFault& fault : reading.faults) text += fault.text() + "\n";
    return text;
}

/// All samples of a trace, asked for in parts that end elsewhere than the pages do.
inline bakewright::Trace all_of(const bakewright::probe::PagedLog& log, std::size_t trace) {
    bakewright::Trace all;
    for (std::size_t first = 0; first < log.size(); first += 997) {
        const bakewright::Trace part = log.part(trace, first, std::min<std::size_t>(997, log.size() - first));
        all.time_s.insert(all.time_s.end(), part.time_s.begin(), part.time_s.end());
        all.temperature_k.insert(all.temperature_k.end(), part.temperature_k.begin(), part.temperature_k.end());
        all.quality.insert(all.quality.end(), part.quality.begin(), part.quality.end());
    }
    return all;
}

/// NaN is like NaN; 0 and -0 are not alike.
inline bool same_bits(const std::vector<double>& a, const std::vector<double>& b) {
    return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                      [](double x, double y) { return std::bit_cast<std::uint64_t>(x) == std::bit_cast<std::uint64_t>(y); });
}

/// In what they differ; empty where they are the same to the last bit.
inline std::string difference(const bakewright::probe::PagedLog& paged, const bakewright::probe::ProbeLog& whole) {
    if (told(paged.reading()) != told(whole.reading))
        return "page by page:\n" + told(paged.reading()) + "whole:\n" + told(whole.reading);
    if (paged.outline().started_at != whole.traces.started_at) return "the start";
    if (paged.outline().traces.size() != whole.traces.traces.size()) return "the number of traces";
    for (std::size_t i = 0; i < whole.traces.traces.size(); ++i) {
        const bakewright::Trace& expected = whole.traces.traces[i];
        if (paged.outline().traces[i].name != expected.name) return "a name: " + expected.name;
        const bakewright::Trace seen = all_of(paged, i);
        if (!same_bits(seen.time_s, expected.time_s)) return "the times of " + expected.name;
        if (!same_bits(seen.temperature_k, expected.temperature_k)) return "the temperatures of " + expected.name;
        if (seen.quality != expected.quality) return "the flags of " + expected.name;
    }
    return {};
}

}  // namespace same_log
