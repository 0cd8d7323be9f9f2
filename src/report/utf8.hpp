// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace bakewright::report {

inline constexpr char32_t kReplacement = U'\uFFFD';

/// The code point that begins at `at`, which moves behind it. A byte that begins none (RFC 3629: too short, overlong, surrogate,
/// past U+10FFFF) gives U+FFFD and is passed alone.
[[nodiscard]] char32_t next_code_point(std::string_view text, std::size_t& at) noexcept;
void append_utf8(std::string& out, char32_t code);

/// C0, DEL and C1.
[[nodiscard]] constexpr bool is_control(char32_t code) noexcept { return code < 0x20 || (code >= 0x7F && code < 0xA0); }

/// Calls visit(code point) for each in turn.
template <typename Visit>
void for_each_code_point(std::string_view text, Visit&& visit) {
    for (std::size_t at = 0; at < text.size();) visit(next_code_point(text, at));
}

}  // namespace bakewright::report
