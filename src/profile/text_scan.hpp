// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace bakewright::profile {

/// Dots allowed in one key. Profiles need one; thousands, which a parser turns into as many nested tables, can only be an attack.
inline constexpr int kMostKeyDots = 16;

/// Where a TOML string ends that begins with the quote at a place. One that is not closed ends with its line; the parser reports
/// it there.
[[nodiscard]] std::size_t end_of_string(std::string_view toml, std::size_t at);

struct ScanFault {
    int line = 0;  ///< 1-based
    std::string message;
};

/// What speaks against handing a TOML text to the parser: a key with too many dots, or a character outside strings and remarks
/// that is not ASCII (typographic quotes, no-break spaces; toml++ 3.3 does not treat all of those in a defined way). Nothing for
/// a text that may be parsed, right or wrong.
[[nodiscard]] std::optional<ScanFault> fault_before_parsing(std::string_view toml);

}  // namespace bakewright::profile
