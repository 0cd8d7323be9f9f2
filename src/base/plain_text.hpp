// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>

namespace bakewright {

/// The ASCII text that says the same: "1.2 µm" as "1.2 um", "m²" as "m^2", "60 °C" as "60 degC", "1½ in" as "1 1/2 in".
/// What has no such form is kept byte for byte.
[[nodiscard]] std::string plain_text(std::string_view text);

/// A text in double quotes for a message: bytes that do not print shown as "\x1b", long texts cut short.
[[nodiscard]] std::string in_quotes(std::string_view text);

[[nodiscard]] constexpr bool is_digit(char letter) noexcept { return letter >= '0' && letter <= '9'; }
[[nodiscard]] constexpr bool is_letter(char letter) noexcept {
    return (letter >= 'a' && letter <= 'z') || (letter >= 'A' && letter <= 'Z');
}
[[nodiscard]] constexpr char lower(char letter) noexcept {
    return letter >= 'A' && letter <= 'Z' ? static_cast<char>(letter - 'A' + 'a') : letter;
}

/// Whether a text begins with a small-letter word, capitals counted as small.
[[nodiscard]] bool starts_with_word(std::string_view text, std::string_view small_word) noexcept;

}  // namespace bakewright
