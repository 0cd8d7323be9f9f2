#pragma once

#include <cstddef>
#include <string>

namespace bakewright::shop {

/// Longest note that a coat is kept with.
inline constexpr std::size_t kLongestNote = 4000;

/// A title, name or note that a person gave and that goes into the book or on paper, under the rule of profiles: UTF-8, no
/// control characters, at most `longest` bytes (profile::kLongestText where none is said). Empty is nothing given, and stays so.
/// @param option  for the message, with its dashes  @throws InputError
[[nodiscard]] std::string entered_text(const std::string& option, std::string text);
[[nodiscard]] std::string entered_text(const std::string& option, std::string text, std::size_t longest);

}  // namespace bakewright::shop
