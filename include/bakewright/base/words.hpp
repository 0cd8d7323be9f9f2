// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <optional>
#include <string_view>
#include <type_traits>

namespace bakewright {

/// The word of a value in files and tables. `words_of(Value)`, declared beside an enumeration, lists them in the order of its
/// values.
template <class Value>
requires std::is_enum_v<Value>
[[nodiscard]] constexpr std::string_view word_of(Value value) noexcept {
    return words_of(value)[static_cast<std::size_t>(value)];
}

/// The value of a word, capital and small letters alike; nothing for any other text.
template <class Value>
requires std::is_enum_v<Value>
[[nodiscard]] constexpr std::optional<Value> value_of_word(std::string_view text) noexcept {
    const auto small = [](char letter) {
        return letter >= 'A' && letter <= 'Z' ? static_cast<char>(letter - 'A' + 'a') : letter;
    };
    std::size_t index = 0;
    for (const std::string_view word : words_of(Value{})) {
        bool same = word.size() == text.size();
        for (std::size_t i = 0; same && i < word.size(); ++i) same = small(word[i]) == small(text[i]);
        if (same) return static_cast<Value>(index);
        ++index;
    }
    return std::nullopt;
}

}  // namespace bakewright
