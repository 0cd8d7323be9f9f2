// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string_view>

/// Texts built into the program: the pictures' own scripts, and the chart library: dygraphs, from Debian's package
/// libjs-dygraphs, byte for byte but for the pointer to its source map. Nothing is fetched when a report is opened.
namespace bakewright::report {

/// A text built into the program, and its SHA-256 as 64 hexadecimal digits.
struct Asset {
    std::string_view text;
    std::string_view sha256_hex;
};

[[nodiscard]] Asset dygraphs_script() noexcept;
[[nodiscard]] Asset dygraphs_style() noexcept;
/// Scripts of the lanes and of the drawing of a shell, which stand on what they share, and their style; see docs/json.md.
[[nodiscard]] Asset pictures_script() noexcept;
[[nodiscard]] Asset lanes_script() noexcept;
[[nodiscard]] Asset shell_drawing_script() noexcept;
[[nodiscard]] Asset pictures_style() noexcept;
/// Copyright and licence of dygraphs (MIT), to go with every copy.
[[nodiscard]] Asset dygraphs_notice() noexcept;

}  // namespace bakewright::report
