// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/assets.hpp"

#include <cstdint>

#include "bakewright/base/error.hpp"
#include "embedded.hpp"

namespace bakewright::report {
namespace {

std::uint32_t nibble(char digit) {
    const bool letter = digit >= 'a' && digit <= 'f';
    ensure(letter || (digit >= '0' && digit <= '9'), "a hash is written in small hexadecimal digits");
    return static_cast<std::uint32_t>(letter ? digit - 'a' + 10 : digit - '0');
}

std::uint32_t byte_at(std::string_view hex, std::size_t index) {
    return 2 * index < hex.size() ? (nibble(hex[2 * index]) << 4U) | nibble(hex[2 * index + 1]) : 0;
}

std::string base64(std::string_view hex) {
    constexpr std::string_view kLetters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    const std::size_t size = hex.size() / 2;
    std::string out;
    for (std::size_t i = 0; i < size; i += 3) {
        const std::uint32_t three = (byte_at(hex, i) << 16U) | (byte_at(hex, i + 1) << 8U) | byte_at(hex, i + 2);
        for (std::size_t j = 0; j < 4; ++j) out += i + j <= size ? kLetters[(three >> (18U - 6U * j)) & 0x3FU] : '=';
    }
    return out;
}

}  // namespace

Asset dygraphs_script() noexcept { return {embedded::dygraphs_script, embedded::dygraphs_script_sha256}; }
Asset dygraphs_style() noexcept { return {embedded::dygraphs_style, embedded::dygraphs_style_sha256}; }
Asset dygraphs_notice() noexcept { return {embedded::dygraphs_notice, embedded::dygraphs_notice_sha256}; }
Asset pictures_script() noexcept { return {embedded::pictures_script, embedded::pictures_script_sha256}; }
Asset lanes_script() noexcept { return {embedded::lanes_script, embedded::lanes_script_sha256}; }
Asset shell_drawing_script() noexcept { return {embedded::shell_drawing_script, embedded::shell_drawing_script_sha256}; }
Asset pictures_style() noexcept { return {embedded::pictures_style, embedded::pictures_style_sha256}; }

std::string policy_hash(std::string_view sha256_hex) {
    ensure(sha256_hex.size() == 64, "a SHA-256 has 64 hexadecimal digits");
    return "'sha256-" + base64(sha256_hex) + "'";
}

}  // namespace bakewright::report
