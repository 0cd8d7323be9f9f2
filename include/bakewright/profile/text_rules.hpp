// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>

namespace bakewright::profile {

inline constexpr std::size_t kLongestName = 80;
inline constexpr std::size_t kLongestText = 400;

/// A text for a message: control and direction characters as "\x1b", cut short after so many bytes.
[[nodiscard]] std::string printable(std::string_view text, std::size_t most);
/// The same in double quotes, at most 60 bytes.
[[nodiscard]] std::string shown(std::string_view text);

/// Why a name or a title cannot be taken, as the end of a sentence; empty for a good one. Names end up as column heads, on paper
/// and in terminals: control characters and characters that turn the reading direction are refused, and texts without end.
[[nodiscard]] std::string fault_of_text(std::string_view text, std::size_t longest);

}  // namespace bakewright::profile
