// SPDX-License-Identifier: Apache-2.0
#include "times_above.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "bakewright/base/error.hpp"
#include "bakewright/base/units.hpp"
#include "cell.hpp"
#include "row_scanner.hpp"
#include "time_column.hpp"
#include "unit_text.hpp"

namespace bakewright::probe {
namespace {

// How loggers call it in several languages. Common practice, no source.
constexpr std::array<std::string_view, 9> kIntervalWords = {
    "interval",   "intervall", "messintervall", "abtastintervall", "intervalle", "intervalo", "aufzeichnungsintervall",
    "intervallo", "taktzeit"};
constexpr std::array<std::string_view, 11> kStartWords = {"start",
                                                          "started",
                                                          "starttime",
                                                          "begin",
                                                          "beginn",
                                                          "startzeit",
                                                          "debut",
                                                          "d\xC3\xA9"
                                                          "but",
                                                          "inicio",
                                                          "inizio",
                                                          "begonnen"};

template <std::size_t N>
bool says(std::string_view line, const std::array<std::string_view, N>& list) {
    const std::vector<std::string> words = words_of(line);
    return std::any_of(words.begin(), words.end(),
                       [&](const std::string& word) { return std::find(list.begin(), list.end(), word) != list.end(); });
}

/// What stands behind the first mark that parts a line's word from its value, without trailing delimiters.
std::string_view value_of(std::string_view line) {
    const std::size_t at = line.find_first_of(":=;,\t");
    std::string_view value = at == std::string_view::npos ? std::string_view() : line.substr(at + 1);
    while (!value.empty() && std::string_view(",; \t\"").find(value.back()) != std::string_view::npos) value.remove_suffix(1);
    while (!value.empty() && std::string_view(",; \t\"").find(value.front()) != std::string_view::npos) value.remove_prefix(1);
    return value;
}

/// "10 s", "0.5 min", "00:00:10", and "Interval [s]: 10".
std::optional<double> interval_of(std::string_view line, char decimal_mark) {
    const std::string_view value = value_of(line);
    const TimeText clock = read_time(value, decimal_mark);
    if (clock.readable && clock.clock_parts == 3 && !clock.has_date())
        return kSecondPerHour * clock.part[0] + kSecondPerMinute * clock.part[1] + clock.part[2] + clock.fraction_s;
    const std::size_t end = std::min(value.find_first_not_of("0123456789.,"), value.size());
    const Cell number = read_cell(value.substr(0, end), decimal_mark);
    if (number.kind != CellKind::number) return std::nullopt;
    const std::string_view head = line.substr(0, line.find_first_of(":=;,\t"));
    std::optional<double> unit = seconds_of_one(unit_kind(trimmed(value.substr(end))));
    if (!unit && end == value.size()) unit = seconds_of_one(split_heading(head).kind);
    return unit ? std::optional(number.value * *unit) : std::nullopt;
}

/// The moment as the reader of times says it; empty where it is none, or may be two.
std::string moment_of(std::string_view line, char decimal_mark) {
    const TimeText time = read_time(value_of(line), decimal_mark);
    if (!time.readable || !time.has_date() || !time.has_clock()) return {};
    ProblemList problems("");
    try {
        const std::array<TimeText, 1> cells{time};
        constexpr std::array<int, 1> kLines{1};
        return resolve_times(cells, kLines, {}, problems).started_at;
    } catch (const InputError&) {
        return {};
    }
}

bool tells_time(const std::vector<Column>& columns, const Layout& layout) {
    for (std::size_t c = 0; c < columns.size(); ++c) {
        if (is_time_unit(columns[c].unit_kind) || names_time(columns[c].channel.heading)) return true;
        for (const SampleRow& row : layout.sample) {
            if (c >= row.fields.size()) continue;
            const TimeText cell = read_time(row.fields[c], layout.decimal_mark);
            if (cell.readable && (cell.has_date() || cell.has_clock())) return true;
        }
    }
    return false;
}

/// A row with a number in it, as the reader counts rows.
bool holds_data(std::span<const std::string_view> fields, char decimal_mark) {
    return std::any_of(fields.begin(), fields.end(), [&](std::string_view field) {
        return !field.empty() && read_cell(field, decimal_mark).kind == CellKind::number;
    });
}

std::string number_text(double value, char decimal_mark) {
    std::string text = fmt::format("{:.6f}", value);
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
    std::replace(text.begin(), text.end(), '.', decimal_mark);
    return text;
}

}  // namespace

std::optional<TimesAbove> times_above(const std::vector<Column>& columns, const Layout& layout) {
    TimesAbove found;
    for (const std::string& line : layout.preamble) {
        if (says(line, kIntervalWords)) {
            const auto interval_s = interval_of(line, layout.decimal_mark);
            if (interval_s && *interval_s > 0.0 && found.interval_s == 0.0) {
                found.interval_s = *interval_s;
                found.interval_line = line;
            }
        }
        if (found.started_at.empty() && says(line, kStartWords)) found.started_at = moment_of(line, layout.decimal_mark);
    }
    if (found.interval_s == 0.0 || tells_time(columns, layout)) return std::nullopt;
    return found;
}

std::string with_times(std::string_view text, const Layout& layout, double interval_s) {
    std::string made;
    made.reserve(text.size() + text.size() / 4);
    std::size_t copied = 0, rows_before = 0;
    RowScanner rows(text, layout.delimiter);
    while (rows.next()) {
        std::string first;
        if (rows.line() == layout.heading_line)
            first = "time [s]";
        else if (rows.line() >= layout.first_data_line && holds_data(rows.fields(), layout.decimal_mark))
            first = number_text(interval_s * static_cast<double>(rows_before++), layout.decimal_mark);
        else if (rows.line() != layout.units_line)
            continue;
        made += text.substr(copied, rows.offset() - copied);
        made += first + layout.delimiter;
        copied = rows.offset();
    }
    return made += text.substr(copied);
}

}  // namespace bakewright::probe
