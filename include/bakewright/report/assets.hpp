#pragma once

#include <string_view>

/// The chart library that is built into the program: dygraphs, from Debian's package libjs-dygraphs, byte for byte but for the
/// pointer to its source map. Nothing is fetched when a report is opened.
namespace bakewright::report {

/// A text built into the program, and its SHA-256 as 64 hexadecimal digits.
struct Asset {
    std::string_view text;
    std::string_view sha256_hex;
};

[[nodiscard]] Asset dygraphs_script() noexcept;
[[nodiscard]] Asset dygraphs_style() noexcept;
/// Copyright and licence (MIT), to go with every copy.
[[nodiscard]] Asset dygraphs_notice() noexcept;

}  // namespace bakewright::report
