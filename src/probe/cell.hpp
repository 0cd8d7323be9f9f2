// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string_view>

namespace bakewright::probe {

enum class CellKind {
    blank,
    number,
    missing,       ///< a word for "no value": NaN, n/a, -
    open_circuit,  ///< a word for an open thermocouple or an overload: OL, OPEN
    text
};

/// One field of a row.
struct Cell {
    CellKind kind = CellKind::blank;
    double value = 0.0;       ///< of a number
    std::string_view suffix;  ///< a unit that follows the number, "°C"
};

/// Reads a trimmed field. Numbers: optional sign (also the typographic minus), digits with one decimal mark, optional exponent,
/// optional unit behind it. Marks between thousands are taken where they can be nothing else: blanks and apostrophes, and the
/// other mark before a decimal mark ("1,234.5").
[[nodiscard]] Cell read_cell(std::string_view field, char decimal_mark) noexcept;

/// Text that was meant to be a number and is spoilt ("2o.5", "12.5.3"): it begins as one does. Any other text among numbers says
/// that there is no reading, in whatever words.
[[nodiscard]] bool begins_like_number(std::string_view field) noexcept;

/// A number with marks between its thousands, without them; empty where it is none. In a column of times "1,234" is one too.
[[nodiscard]] std::string without_thousands_marks(std::string_view field, char decimal_mark, bool is_time = false);

/// ASCII letters made small; anything else as it is.
[[nodiscard]] constexpr char lower(char c) noexcept { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }
[[nodiscard]] constexpr bool is_digit(char c) noexcept { return c >= '0' && c <= '9'; }
[[nodiscard]] constexpr bool is_letter(char c) noexcept { return lower(c) >= 'a' && lower(c) <= 'z'; }
[[nodiscard]] bool equals_ignoring_case(std::string_view left, std::string_view right) noexcept;

}  // namespace bakewright::probe
