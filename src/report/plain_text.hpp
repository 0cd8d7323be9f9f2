// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace bakewright::report {

/// Text that came from a user, made harmless for where it is shown. Every renderer of this area calls these itself; callers hand
/// over names as they are.
/// One line for a terminal or a CSV head: control characters (line ends and escape sequences with them) become a space,
/// bidirectional overrides and isolates are dropped, bytes that are not UTF-8 become U+FFFD. Everything else is kept.
[[nodiscard]] std::string one_line(std::string_view text);

/// Columns a terminal needs for the text, by the character widths of the C library's UTF-8 tables (wide East Asian characters 2,
/// combining marks 0). Control characters count 0.
[[nodiscard]] std::size_t display_width(std::string_view text);

/// The text broken at spaces into lines of at most `width` columns; a longer word is broken where it must. At least one line.
/// @param width  > 0
[[nodiscard]] std::vector<std::string> wrap(std::string_view text, std::size_t width);

/// The text for an HTML element or a quoted attribute: & < > " ' as entities, control characters and bytes that are not UTF-8 as
/// U+FFFD. Marks of right-to-left scripts stay.
[[nodiscard]] std::string escape_html(std::string_view text);

/// JSON text that may stand inside a <script> element: < > & and the two Unicode line separators as \u escapes, so that nothing
/// in it can end the element. Reads back as the same JSON.
[[nodiscard]] std::string json_for_script(std::string_view json);

}  // namespace bakewright::report
