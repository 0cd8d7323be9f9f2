// SPDX-License-Identifier: Apache-2.0
#include "heading_rows.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <set>

#include "cell.hpp"
#include "unit_text.hpp"

namespace bakewright::probe {
namespace {

using Texts = std::vector<std::string>;

// Common practice, no source.
constexpr std::array<std::string_view, 14> kMethodWords = {"smp", "avg", "average", "mean",   "max",   "min",  "std",
                                                           "tot", "sum", "sample",  "median", "value", "inst", "instant"};
constexpr std::array<std::string_view, 12> kLabelWords = {"ch",   "chan", "channel", "kanal",  "t",  "tc",
                                                          "temp", "in",   "input",   "sensor", "ai", "probe"};

template <std::size_t N>
bool is_in(const std::array<std::string_view, N>& list, std::string_view word) {
    return std::find(list.begin(), list.end(), word) != list.end();
}

bool is_method(std::string_view cell) {
    const Texts words = words_of(cell);
    return words.size() == 1 && is_in(kMethodWords, words[0]);
}

/// "CH1", "Channel 2", "T 3", "101": what a logger calls a channel before somebody names it.
bool is_label(const std::string& cell) {
    const Texts words = words_of(cell);
    bool any_digit = false;
    for (std::string word : words) {
        const std::size_t digits = static_cast<std::size_t>(std::count_if(word.begin(), word.end(), is_digit));
        any_digit |= digits > 0;
        word.erase(std::remove_if(word.begin(), word.end(), is_digit), word.end());
        if (!word.empty() && !is_in(kLabelWords, word)) return false;
    }
    return any_digit;
}

/// Columns behind the first: that one holds the time and may be blank in either row.
template <typename Test>
bool all_channels(const Texts& row, Test test) {
    return row.size() >= 2 && std::all_of(row.begin() + 1, row.end(), test);
}

bool filled(const std::string& cell) { return !cell.empty(); }

/// Every channel has a word of its own.
bool tells_apart(const Texts& row) {
    return all_channels(row, filled) && std::set<std::string>(row.begin() + 1, row.end()).size() + 1 == row.size();
}

/// Words of the upper row go on to the right over blanks.
Texts joined(const Texts& upper, const Texts& lower) {
    Texts out;
    std::string group;
    for (std::size_t i = 0; i < lower.size(); ++i) {
        if (!upper[i].empty()) group = upper[i];
        out.push_back(lower[i].empty() || group.empty() ? (lower[i].empty() ? upper[i] : lower[i])
                                                        : fmt::format("{} {}", group, lower[i]));
    }
    return out;
}

bool is_all_words(const Texts& row, char decimal_mark) {
    return std::none_of(row.begin(), row.end(), [&](const std::string& cell) { return is_data_cell(cell, decimal_mark); });
}

void set_names(Layout& layout, Texts names, const Texts& other) {
    if (names.front().empty()) names.front() = other.front();
    layout.headings = std::move(names);
}

}  // namespace

bool is_method_row(const SampleRow& row, std::size_t width) {
    const Texts& cells = row.fields;
    return cells.size() == width && std::any_of(cells.begin(), cells.end(), filled) &&
           std::all_of(cells.begin(), cells.end(), [](const std::string& cell) { return cell.empty() || is_method(cell); });
}

bool is_label_row(const SampleRow& row) {
    return all_channels(row.fields, is_label) || all_channels(row.fields, [](const auto& cell) { return is_method(cell); });
}

bool take_second_heading_row(Layout& layout, const std::vector<SampleRow>& rows, std::size_t at) {
    const Texts lower = layout.headings, upper = rows[at].fields;
    if (upper.size() != lower.size() || upper.size() < 3 || layout.delimiter == ' ') return false;
    if (!is_all_words(upper, layout.decimal_mark)) return false;
    const bool lower_is_poor = is_label_row({0, 0, lower});
    if (lower_is_poor && tells_apart(upper)) {
        set_names(layout, upper, lower);
    } else if (tells_apart(lower) && all_channels(upper, is_label)) {
        set_names(layout, lower, upper);
    } else if (!tells_apart(lower) && tells_apart(joined(upper, lower))) {
        set_names(layout, joined(upper, lower), upper);
    } else if (tells_apart(lower) && lower.front().empty() && !upper.front().empty() && all_channels(upper, filled)) {
        set_names(layout, lower, upper);
    } else {
        return false;
    }
    layout.second_heading_line = rows[at].line;
    layout.remarks.push_back(fmt::format("there are two rows of headings, lines {} and {}: the columns are named '{}', '{}'{}",
                                         rows[at].line, layout.heading_line, layout.headings[0], layout.headings[1],
                                         layout.headings.size() > 2 ? ", ..." : ""));
    return true;
}

}  // namespace bakewright::probe
