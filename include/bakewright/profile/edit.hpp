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

}  // namespace bakewright::profile
