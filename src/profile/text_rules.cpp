// SPDX-License-Identifier: Apache-2.0
#include "bakewright/profile/text_rules.hpp"

#include <fmt/format.h>

namespace bakewright::profile {
namespace {

unsigned byte_at(std::string_view text, std::size_t i) { return i < text.size() ? static_cast<unsigned char>(text[i]) : 0U; }

/// Bytes of the control or direction character at a place; 0 where there is none.
/// Control characters: U+0000 to U+001F, U+007F to U+009F; line and direction characters: U+2028 to U+202E, U+2066 to U+2069.
std::size_t unwanted_bytes(std::string_view text, std::size_t i) {
    const unsigned first = byte_at(text, i);
    const unsigned second = byte_at(text, i + 1);
    const unsigned third = byte_at(text, i + 2);
    if (first < 0x20U || first == 0x7FU) return 1;
    if (first == 0xC2U && second >= 0x80U && second <= 0x9FU) return 2;
    if (first == 0xE2U && second == 0x80U && third >= 0xA8U && third <= 0xAEU) return 3;
    if (first == 0xE2U && second == 0x81U && third >= 0xA6U && third <= 0xA9U) return 3;
    return 0;
}

/// The start of a text, cut where a character ends.
std::string_view beginning(std::string_view text, std::size_t most) {
    if (text.size() <= most) return text;
    while (most > 0 && (byte_at(text, most) & 0xC0U) == 0x80U) --most;
    return text.substr(0, most);
}

std::size_t sequence_length(unsigned first) {
    if (first < 0x80U) return 1;
    if (first >= 0xC2U && first <= 0xDFU) return 2;
    if (first >= 0xE0U && first <= 0xEFU) return 3;
    return first >= 0xF0U && first <= 0xF4U ? 4 : 0;
}

/// Whether every byte belongs to a UTF-8 sequence of the right length. Source: RFC 3629, section 4 (overlong forms of three and
/// four bytes and surrogates are left to the parser).
bool is_utf8(std::string_view text) {
    for (std::size_t i = 0; i < text.size();) {
        const std::size_t length = sequence_length(byte_at(text, i));
        if (length == 0 || i + length > text.size()) return false;
        for (std::size_t k = 1; k < length; ++k)
            if ((byte_at(text, i + k) & 0xC0U) != 0x80U) return false;
        i += length;
    }
    return true;
}

}  // namespace

std::string printable(std::string_view text, std::size_t most) {
    const std::string_view start = beginning(text, most);
    std::string result;
    for (std::size_t i = 0; i < start.size(); ++i) {
        const std::size_t unwanted = unwanted_bytes(start, i);
        if (unwanted == 0) result += start[i];
        for (std::size_t k = 0; k < unwanted; ++k) result += fmt::format("\\x{:02x}", byte_at(start, i + k));
        if (unwanted > 1) i += unwanted - 1;
    }
    return start.size() < text.size() ? result + "..." : result;
}

std::string shown(std::string_view text) { return fmt::format("\"{}\"", printable(text, 60)); }

std::string fault_of_text(std::string_view text, std::size_t longest) {
    if (text.empty()) return "is empty";
    if (text.size() > longest) return fmt::format("is {} bytes long, allowed at most {}", text.size(), longest);
    if (!is_utf8(text)) return "is not UTF-8 text";
    for (std::size_t i = 0; i < text.size(); ++i)
        if (unwanted_bytes(text, i) > 0)
            return fmt::format("{} holds a control character; only printable text is accepted", shown(text));
    return {};
}

}  // namespace bakewright::profile
