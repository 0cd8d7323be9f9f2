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

Cell read_cell(std::string_view field, char decimal_mark) noexcept {
    if (field.empty()) return {};
    if (starts_like_number(field, decimal_mark)) return number_cell(field, decimal_mark);
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
