// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>

namespace bakewright::profile {

/// A profile's text with one value put in; remarks, order and spelling of everything else stay as they are. A key that is not
/// there yet is written behind the last one of its table; a table that is not there is written with it.
/// @param key    path as in messages: "burner.power", "zone[2].layers[0].thickness"
/// @param value  as a profile writes it: "\"300 m3\"", "0.9", "true"
/// @throws InputError where the text is no TOML, before or after, or there is no place for the key ("zone[7]" of two zones)
[[nodiscard]] std::string with_value(std::string_view text, std::string_view key, std::string_view value);

/// A text as a profile writes it, in quotes. @throws InputError where the reader would not take it back
[[nodiscard]] std::string text_value(std::string_view text);

/// A text without a key: without its line and the remark behind it, without its entry of an inline table, or, of what has a
/// heading of its own ("zone[2]"), without all from the remarks right above the heading to its last key, tables below it
/// included. A key that is not there leaves the text as it is.
/// @throws InputError where the text is no TOML, before or after; for an entry of a list that has no headings
[[nodiscard]] std::string without_value(std::string_view text, std::string_view key);

/// A text with one more table of a list, behind the last one; at the end where there is none yet.
/// @param list     "zone"
/// @param element  heading and keys, as profile::hand_elements() writes them
/// @throws InputError as with_value()
[[nodiscard]] std::string with_element(std::string_view text, std::string_view list, std::string_view element);

/// The remark behind a value, on the line it ends on, without its mark; empty where none is. @throws InputError for no TOML
[[nodiscard]] std::string remark_behind(std::string_view text, std::string_view key);
/// The text with another remark there; an empty one takes it away. A value inside an inline table or list has none: the text
/// stays as it is. @throws InputError for no TOML
[[nodiscard]] std::string with_remark(std::string_view text, std::string_view key, std::string_view remark);

}  // namespace bakewright::profile
