// SPDX-License-Identifier: Apache-2.0
#include "encoding.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <cstring>

namespace bakewright::probe {
namespace {

unsigned byte_at(std::string_view bytes, std::size_t index) { return static_cast<unsigned char>(bytes[index]); }

void append_utf8(std::string& out, std::uint32_t code) {
    const auto put = [&out](std::uint32_t value) { out.push_back(static_cast<char>(static_cast<unsigned char>(value))); };
    if (code < 0x80) {
        put(code);
    } else if (code < 0x800) {
        put(0xC0 | (code >> 6));
        put(0x80 | (code & 0x3F));
    } else if (code < 0x10000) {
        put(0xE0 | (code >> 12));
        put(0x80 | ((code >> 6) & 0x3F));
        put(0x80 | (code & 0x3F));
    } else {
        put(0xF0 | (code >> 18));
        put(0x80 | ((code >> 12) & 0x3F));
        put(0x80 | ((code >> 6) & 0x3F));
        put(0x80 | (code & 0x3F));
    }
}

constexpr std::uint32_t kReplacement = 0xFFFD;

std::string utf16_to_utf8(std::string_view bytes, bool big_endian) {
    const auto unit = [&](std::size_t index) {
        const unsigned first = byte_at(bytes, index), second = byte_at(bytes, index + 1);
        return static_cast<std::uint32_t>(big_endian ? first << 8 | second : second << 8 | first);
    };
    std::string out;
    out.reserve(bytes.size() / 2 + 16);
    for (std::size_t i = 0; i + 1 < bytes.size(); i += 2) {
        std::uint32_t code = unit(i);
        if (code >= 0xD800 && code < 0xDC00 && i + 3 < bytes.size() && (unit(i + 2) & 0xFC00) == 0xDC00) {
            code = 0x10000 + ((code - 0xD800) << 10) + (unit(i + 2) - 0xDC00);
            i += 2;
        } else if (code >= 0xD800 && code < 0xE000) {
            code = kReplacement;
        }
        append_utf8(out, code);
    }
    return out;
}

/// Length of the valid UTF-8 sequence at index (RFC 3629: no overlong forms, no surrogates, at most U+10FFFF); 0 where there is
/// none.
std::size_t utf8_length(std::string_view bytes, std::size_t index) {
    const unsigned first = byte_at(bytes, index);
    if (first < 0x80) return 1;
    const std::size_t length = first >= 0xC2 && first <= 0xDF   ? 2
                               : (first & 0xF0) == 0xE0         ? 3
                               : first >= 0xF0 && first <= 0xF4 ? 4
                                                                : 0;
    if (length == 0 || index + length > bytes.size()) return 0;
    for (std::size_t k = 1; k < length; ++k)
        if ((byte_at(bytes, index + k) & 0xC0) != 0x80) return 0;
    const unsigned second = byte_at(bytes, index + 1);
    const bool bad = (first == 0xE0 && second < 0xA0) || (first == 0xED && second > 0x9F) || (first == 0xF0 && second < 0x90) ||
                     (first == 0xF4 && second > 0x8F);
    return bad ? 0 : length;
}

/// Eight bytes at a time as long as they are ASCII; returns where that ends, give or take those eight.
std::size_t ascii_length(std::string_view bytes) {
    std::size_t i = 0;
    for (std::uint64_t word = 0; i + sizeof word <= bytes.size(); i += sizeof word) {
        std::memcpy(&word, bytes.data() + i, sizeof word);
        if ((word & 0x8080808080808080U) != 0) break;
    }
    return i;
}

bool is_utf8(std::string_view bytes) {
    for (std::size_t i = ascii_length(bytes); i < bytes.size();) {
        const std::size_t length = utf8_length(bytes, i);
        if (length == 0) return false;
        i += length;
    }
    return true;
}

std::string latin1_to_utf8(std::string_view bytes) {
    // Code page 1252 where it differs from Latin-1; 0 stays as it is.
    static constexpr std::array<std::uint16_t, 32> kWindows = {0x20AC, 0,      0x201A, 0x0192, 0x201E, 0x2026, 0x2020, 0x2021,
                                                               0x02C6, 0x2030, 0x0160, 0x2039, 0x0152, 0,      0x017D, 0,
                                                               0,      0x2018, 0x2019, 0x201C, 0x201D, 0x2022, 0x2013, 0x2014,
                                                               0x02DC, 0x2122, 0x0161, 0x203A, 0x0153, 0,      0x017E, 0x0178};
    std::string out;
    out.reserve(bytes.size() + bytes.size() / 16);
    for (std::size_t i = 0; i < bytes.size(); ++i) {
        const unsigned value = byte_at(bytes, i);
        const bool moved = value >= 0x80 && value < 0xA0 && kWindows[value - 0x80] != 0;
        append_utf8(out, moved ? kWindows[value - 0x80] : value);
    }
    return out;
}

/// UTF-16 text of the Western world has a zero in every other byte. '\0' where it is not that, else 'L' or 'B'.
char utf16_without_mark(std::string_view bytes) {
    const std::size_t count = std::min<std::size_t>(bytes.size() & ~std::size_t{1}, 4096);
    std::array<std::size_t, 2> zeros = {0, 0};
    for (std::size_t i = 0; i < count; ++i)
        if (bytes[i] == '\0') ++zeros[i % 2];
    if (count < 8) return '\0';
    if (zeros[0] == 0 && zeros[1] * 10 >= count * 4) return 'L';
    if (zeros[1] == 0 && zeros[0] * 10 >= count * 4) return 'B';
    return '\0';
}

void refuse_binary(std::string_view bytes, ProblemList& problems) {
    if (bytes.substr(0, 4) == "PK\x03\x04")
        problems.fail(0, "", "this is a zip archive or a spreadsheet workbook; save the sheet as CSV (comma separated) first");
    if (bytes.substr(0, 4) == "\xD0\xCF\x11\xE0")
        problems.fail(0, "", "this is an old spreadsheet workbook; save the sheet as CSV (comma separated) first");
    if (bytes.find('\0') != std::string_view::npos)
        problems.fail(0, "", "this is a binary file (it has zero bytes), not a table of text; export the log as CSV");
}

DecodedText converted(std::string encoding, std::string text) {
    DecodedText out;
    out.encoding = std::move(encoding);
    out.converted = std::move(text);
    out.is_converted = true;
    return out;
}

DecodedText decode(std::string_view bytes, ProblemList& problems) {
    if (bytes.substr(0, 3) == "\xEF\xBB\xBF") {
        bytes.remove_prefix(3);
        refuse_binary(bytes, problems);
        if (is_utf8(bytes)) return {"UTF-8 with byte-order mark", bytes, {}, false};
        return converted("Latin-1", latin1_to_utf8(bytes));
    }
    if (bytes.substr(0, 2) == "\xFF\xFE") return converted("UTF-16 LE", utf16_to_utf8(bytes.substr(2), false));
    if (bytes.substr(0, 2) == "\xFE\xFF") return converted("UTF-16 BE", utf16_to_utf8(bytes.substr(2), true));
    if (const char order = utf16_without_mark(bytes); order != '\0')
        return converted(order == 'L' ? "UTF-16 LE" : "UTF-16 BE", utf16_to_utf8(bytes, order == 'B'));
    refuse_binary(bytes, problems);
    if (is_utf8(bytes)) return {"UTF-8", bytes, {}, false};
    return converted("Latin-1", latin1_to_utf8(bytes));
}

}  // namespace

std::string padding_remark(std::size_t bytes) {
    return "the file ends in zero bytes, as where power is lost while a row is written: the last " + std::to_string(bytes) +
           " bytes were left out";
}

bool is_plain_utf8(std::string_view bytes) noexcept { return bytes.find('\0') == std::string_view::npos && is_utf8(bytes); }

/// A logger that loses its power may leave the rest of a block as zeros, and the row before them in pieces.
static std::size_t padding_of(std::string_view bytes) {
    if (bytes.empty() || bytes.back() != '\0' || utf16_without_mark(bytes) != '\0' || bytes.substr(0, 2) == "\xFF\xFE" ||
        bytes.substr(0, 2) == "\xFE\xFF")
        return 0;
    const std::size_t end = bytes.find_last_not_of('\0');
    if (end == std::string_view::npos || bytes.find('\0') != end + 1) return 0;
    const std::size_t row_end = bytes.substr(0, end + 1).find_last_of("\r\n");
    return row_end == std::string_view::npos ? 0 : bytes.size() - row_end - 1;
}

DecodedText decode_text(std::string_view bytes, ProblemList& problems) {
    if (bytes.empty()) problems.fail(0, "", "the file is empty");
    const std::size_t padding = padding_of(bytes);
    DecodedText out = decode(bytes.substr(0, bytes.size() - padding), problems);
    out.padding_bytes = padding;
    if (out.text().find_first_not_of(" \t\r\n,;|") == std::string_view::npos)
        problems.fail(0, "", "the file holds nothing but blank lines");
    if (out.text().find('\0') != std::string_view::npos)
        problems.fail(0, "", "this is a binary file (it has zero characters), not a table of text; export the log as CSV");
    return out;
}

}  // namespace bakewright::probe
