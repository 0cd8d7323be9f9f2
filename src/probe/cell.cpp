// SPDX-License-Identifier: Apache-2.0
#include "cell.hpp"

#include <fast_float/fast_float.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include "row_scanner.hpp"
#include "unit_text.hpp"

namespace bakewright::probe {
namespace {

constexpr std::string_view kTypographicMinus = "\xE2\x88\x92";

constexpr std::array kMissingWords = {"-",    "--",  "---",  "nan",     "n/a", "na", "#n/a", "#n/v",   "null",
                                      "none", "nil", "miss", "missing", "?",   "*",  ".",    "no data"};
constexpr std::array kOpenWords = {"ol",       "-ol",          "+ol",        "o.l.",      "ovl",      "ovld",       "ovf",
                                   "over",     "overload",     "over range", "overrange", "under",    "underrange", "open",
                                   "open tc",  "open circuit", "opn",        "open t/c",  "fault",    "fail",       "err",
                                   "error",    "inf",          "+inf",       "-inf",      "infinity", "burnout",    "burn out",
                                   "no probe", "disconnected", "unplugged",  "#num!",     "#value!",  "#div/0!",    "#ref!"};

template <std::size_t N>
bool is_one_of(std::string_view field, const std::array<const char*, N>& words) noexcept {
    return std::any_of(words.begin(), words.end(), [field](const char* word) { return equals_ignoring_case(field, word); });
}

bool starts_like_number(std::string_view field, char decimal_mark) noexcept {
    if (!field.empty() && field.front() == '-') field.remove_prefix(1);
    if (!field.empty() && field.front() == decimal_mark) field.remove_prefix(1);
    return !field.empty() && is_digit(field.front());
}

/// Text that is no number: a word for no value, or just text.
Cell word_cell(std::string_view field) noexcept {
    constexpr std::size_t kLongestWord = 12;
    if (field.size() > kLongestWord) return {CellKind::text, 0.0, {}};
    if (is_one_of(field, kMissingWords)) return {CellKind::missing, 0.0, {}};
    if (is_one_of(field, kOpenWords)) return {CellKind::open_circuit, 0.0, {}};
    return {CellKind::text, 0.0, {}};
}

Cell number_cell(std::string_view field, char decimal_mark) noexcept {
    Cell cell;
    const fast_float::parse_options how(fast_float::chars_format::general, decimal_mark);
    const auto [end, error] = fast_float::from_chars_advanced(field.data(), field.data() + field.size(), cell.value, how);
    if (error != std::errc() || !std::isfinite(cell.value)) return {CellKind::text, 0.0, {}};
    const std::string_view rest = trimmed(field.substr(static_cast<std::size_t>(end - field.data())));
    if (!rest.empty() && unit_kind(rest) == UnitKind::none) return {CellKind::text, 0.0, {}};
    cell.kind = CellKind::number;
    cell.suffix = rest;
    return cell;
}

}  // namespace

bool equals_ignoring_case(std::string_view left, std::string_view right) noexcept {
    return left.size() == right.size() &&
           std::equal(left.begin(), left.end(), right.begin(), [](char a, char b) { return lower(a) == lower(b); });
}

bool begins_like_number(std::string_view field) noexcept {
    if (!field.empty() && (field.front() == '+' || field.front() == '-')) field.remove_prefix(1);
    if (field.starts_with(kTypographicMinus)) field.remove_prefix(kTypographicMinus.size());
    if (!field.empty() && (field.front() == '.' || field.front() == ',')) field.remove_prefix(1);
    return !field.empty() && is_digit(field.front());
}

std::string without_thousands_marks(std::string_view field, char decimal_mark, bool is_time) {
    // blank, apostrophe, no-break space, narrow no-break space, typographic apostrophe
    static constexpr std::array<std::string_view, 5> kMarks = {" ", "'", "\xC2\xA0", "\xE2\x80\xAF", "\xE2\x80\x99"};
    const std::string_view other = decimal_mark == '.' ? "," : ".";
    const auto try_mark = [&](std::string_view mark) {
        std::string out;
        std::string_view rest = field;
        if (!rest.empty() && (rest.front() == '-' || rest.front() == '+')) {
            if (rest.front() == '-') out += '-';
            rest.remove_prefix(1);
        }
        const auto digits = [&rest] { return std::min(rest.find_first_not_of("0123456789"), rest.size()); };
        std::size_t count = digits();
        if (count == 0 || count > 3 || rest.front() == '0') return std::string();
        out += rest.substr(0, count);
        rest.remove_prefix(count);
        bool any = false;
        while (rest.starts_with(mark)) {
            rest.remove_prefix(mark.size());
            count = digits();
            if (count != 3) return std::string();
            out += rest.substr(0, 3);
            rest.remove_prefix(3);
            any = true;
        }
        const bool has_decimals = !rest.empty() && rest.front() == decimal_mark;
        if (has_decimals) {
            out += decimal_mark;
            rest.remove_prefix(1);
            count = digits();
            out += rest.substr(0, count);
            rest.remove_prefix(count);
        }
        const bool is_clear = has_decimals || is_time || mark != other;
        return any && rest.empty() && is_clear ? out : std::string();
    };
    for (const std::string_view mark : kMarks)
        if (std::string out = try_mark(mark); !out.empty()) return out;
    return try_mark(other);
}

Cell read_cell(std::string_view field, char decimal_mark) noexcept {
    if (field.empty()) return {};
    if (starts_like_number(field, decimal_mark)) {
        const Cell cell = number_cell(field, decimal_mark);
        if (cell.kind != CellKind::text) return cell;
        const std::string plain = without_thousands_marks(field, decimal_mark);
        return plain.empty() ? cell : Cell{CellKind::number, number_cell(plain, decimal_mark).value, {}};
    }
    if (field.front() == '+' && starts_like_number(field.substr(1), decimal_mark) && field[1] != '-')
        return number_cell(field.substr(1), decimal_mark);
    if (field.substr(0, 3) == kTypographicMinus && starts_like_number(field.substr(3), decimal_mark) && field[3] != '-') {
        Cell cell = number_cell(field.substr(3), decimal_mark);
        cell.value = -cell.value;
        return cell;
    }
    return word_cell(field);
}

}  // namespace bakewright::probe
