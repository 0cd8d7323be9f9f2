// SPDX-License-Identifier: Apache-2.0
#include "channel_trace.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <limits>

#include "cell.hpp"
#include "open_circuit.hpp"
#include "unit_text.hpp"

namespace bakewright::probe {
namespace {

void become(LogChannel& channel, Quantity quantity, std::string why) {
    channel.quantity = quantity;
    channel.found = std::move(why);
}

/// Columns of which nothing said that they are temperatures get a second look.
void settle_assumed(Column& column, const ColumnCells& cells, std::size_t rows, std::vector<std::string>& remarks) {
    LogChannel& channel = column.channel;
    if (!cells.other_unit.empty()) {
        channel.unit = cells.other_unit;
        become(channel, Quantity::other, "in the cells");
    } else if (cells.words > cells.numbers) {
        become(channel, Quantity::text, "its cells are words");
    } else if (cells.numbers == 0 && channel.heading.empty()) {
        become(channel, Quantity::other, "it has neither heading nor values");
    } else if (cells.numbers == 1 && rows >= 3) {
        become(channel, Quantity::other, "only one row has a value: a constant");
    } else if (cells.numbers == 0) {
        remarks.push_back(fmt::format("column '{}' holds no number", channel.name));
    }
}

/// Words among numbers say that there is no reading; where they are most of a column, or begin like a number, they are mistakes.
void add_word_problems(const Column& column, const ColumnCells& cells, ProblemList& problems) {
    const bool are_most = cells.words > cells.numbers;
    for (const ColumnCells::Word& word : cells.first_words)
        if (are_most || begins_like_number(word.text))
            problems.add(word.line, column.channel.heading,
                         fmt::format("'{}' is not a number; where it stands for no reading, say so with --missing \"{}\"",
                                     word.text, word.text));
    if (column.volts && unit_kind(cells.other_unit) == unit_kind(column.channel.unit)) return;
    for (const ColumnCells::Word& word : cells.first_other_units)
        problems.add(word.line, column.channel.heading, fmt::format("'{}' is not a temperature", word.text));
}

/// A word that comes again and again is how the logger says that it has no reading; one that does not is a note.
bool is_note(const ColumnCells::WordUse& use) {
    constexpr std::size_t kLeastLetters = 3, kMostOften = 2;
    const auto letters = std::count_if(use.text.begin(), use.text.end(),
                                       [](char c) { return is_letter(c) || static_cast<unsigned char>(c) >= 0x80; });
    return use.count <= kMostOften && static_cast<std::size_t>(letters) >= kLeastLetters;
}

void tell_words(const Column& column, const ColumnCells& cells, LogReading& reading) {
    for (const ColumnCells::WordUse& use : cells.word_uses) {
        reading.remarks.push_back(fmt::format(
            "column '{}' says '{}' instead of a number {} (first in line {}): no reading{}", column.channel.name, use.text,
            use.count == 1 ? "once" : fmt::format("{} times", use.count), use.line, is_note(use) ? ", kept as a note" : ""));
        if (is_note(use) && reading.notes.size() < kMostNotes)
            reading.notes.push_back({use.line, use.at, column.channel.name, use.text});
    }
}

std::vector<double> values_in_kelvin(const ColumnCells& cells, TemperatureUnit unit, std::vector<SampleQuality>& quality) {
    std::vector<double> out(cells.value.size());
    const TemperatureUnit behind_last = cells.own_unit.empty() ? unit : cells.own_unit.back();
    const auto unit_of = [&](std::size_t i) { return i < cells.own_unit.size() ? cells.own_unit[i] : behind_last; };
    for (std::size_t from = 0, to = 0; from < out.size(); from = to) {
        to = from + 1;
        while (to < out.size() && unit_of(to) == unit_of(from)) ++to;
        flag_impossible(std::span(cells.value).subspan(from, to - from), unit_of(from),
                        std::span(quality).subspan(from, to - from));
        for (std::size_t i = from; i < to; ++i) out[i] = to_kelvin(cells.value[i], unit_of(i));
    }
    return out;
}

}  // namespace

void settle_quantity(Column& column, const ColumnCells& cells, std::size_t rows, LogReading& reading, ProblemList& problems) {
    LogChannel& channel = column.channel;
    channel.numbers = cells.numbers;
    if (channel.quantity == Quantity::other && channel.unit.empty() && cells.words > cells.numbers)
        become(channel, Quantity::text, "its cells are words");
    if (channel.quantity != Quantity::temperature) return;
    if (!cells.own_unit.empty() && channel.found != "option") {
        column.unit = cells.own_unit.front();
        channel.unit = temperature_symbol({*column.unit, LengthUnit::metric});
        channel.found = "in the cells";
        column.unexplained.clear();
    }
    if (channel.found == "assumed") settle_assumed(column, cells, rows, reading.remarks);
    if (channel.quantity != Quantity::temperature) return;
    add_word_problems(column, cells, problems);
    tell_words(column, cells, reading);
}

Trace make_trace(Column& column, ColumnCells& cells, const SampleTimes& times, const ReferenceJunction& reference) {
    LogChannel& channel = column.channel;
    const std::vector<double> temperature_k =
        column.thermocouple ? junction_temperatures_k(column, cells, times.time_s, reference, cells.quality)
                            : values_in_kelvin(cells, column.unit.value_or(TemperatureUnit::celsius), cells.quality);
    const auto count = [&](SampleQuality quality) {
        return static_cast<std::size_t>(std::count(cells.quality.begin(), cells.quality.end(), quality));
    };
    channel.missing = count(SampleQuality::missing);
    channel.open_circuit = count(SampleQuality::open_circuit);
    channel.out_of_range = count(SampleQuality::out_of_range);
    Trace trace;
    trace.name = channel.name;
    bool all_good = true;
    for (const std::size_t row : times.kept) {
        const bool good = cells.quality[row] == SampleQuality::good;
        trace.time_s.push_back(times.time_s[row]);
        trace.temperature_k.push_back(good ? temperature_k[row] : std::numeric_limits<double>::quiet_NaN());
        trace.quality.push_back(cells.quality[row]);
        all_good &= good;
    }
    if (all_good) trace.quality.clear();
    return trace;
}

}  // namespace bakewright::probe
