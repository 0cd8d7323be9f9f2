#include "utf8.hpp"

#include <bit>

namespace bakewright::report {
namespace {

unsigned byte_at(std::string_view text, std::size_t at) noexcept { return static_cast<unsigned char>(text[at]); }

constexpr bool is_scalar(char32_t code) noexcept { return code <= 0x10FFFF && !(code >= 0xD800 && code <= 0xDFFF); }

}  // namespace

char32_t next_code_point(std::string_view text, std::size_t& at) noexcept {
    constexpr char32_t kLeast[] = {0, 0, 0x80, 0x800, 0x10000};
    const unsigned lead = byte_at(text, at++);
    if (lead < 0x80) return lead;
    const auto length = static_cast<std::size_t>(std::countl_one(static_cast<unsigned char>(lead)));
    if (length < 2 || length > 4 || at + length - 1 > text.size()) return kReplacement;
    char32_t code = lead & (0x7FU >> length);
    for (std::size_t i = 0; i + 1 < length; ++i) {
        if ((byte_at(text, at + i) & 0xC0U) != 0x80U) return kReplacement;
        code = (code << 6U) | (byte_at(text, at + i) & 0x3FU);
    }
    if (code < kLeast[length] || !is_scalar(code)) return kReplacement;
    at += length - 1;
    return code;
}

void append_utf8(std::string& out, char32_t code) {
    const auto byte = [&out](char32_t value) { out.push_back(static_cast<char>(static_cast<unsigned char>(value))); };
    if (code < 0x80) return byte(code);
    if (code < 0x800) {
        byte(0xC0 | (code >> 6U));
    } else if (code < 0x10000) {
        byte(0xE0 | (code >> 12U));
        byte(0x80 | ((code >> 6U) & 0x3F));
    } else {
        byte(0xF0 | (code >> 18U));
        byte(0x80 | ((code >> 12U) & 0x3F));
        byte(0x80 | ((code >> 6U) & 0x3F));
    }
    byte(0x80 | (code & 0x3F));
}

}  // namespace bakewright::report
