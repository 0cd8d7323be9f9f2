// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/plain_text.hpp"

#include <locale.h>
#include <wchar.h>

#include <algorithm>
#include <bit>
#include <utility>

#include "utf8.hpp"

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

namespace {

/// Embeddings, overrides and isolates: they can make a terminal show a line in another order than it was written.
constexpr bool reorders(char32_t code) noexcept {
    return (code >= 0x202A && code <= 0x202E) || (code >= 0x2066 && code <= 0x2069) || code == 0x2028 || code == 0x2029;
}

/// The UTF-8 character tables of the C library, taken for one thread and one scope; the program's locale is left alone.
class Utf8Tables {
public:
    Utf8Tables() : before_(tables() != nullptr ? uselocale(tables()) : nullptr) {}
    ~Utf8Tables() {
        if (before_ != nullptr) uselocale(before_);
    }
    Utf8Tables(const Utf8Tables&) = delete;
    Utf8Tables& operator=(const Utf8Tables&) = delete;

    [[nodiscard]] std::size_t width(char32_t code) const noexcept {
        if (is_control(code)) return 0;
        if (before_ == nullptr) return 1;
        const int columns = wcwidth(static_cast<wchar_t>(code));
        return columns < 0 ? 1 : static_cast<std::size_t>(columns);
    }

private:
    static locale_t tables() {
        static const locale_t kept = newlocale(LC_CTYPE_MASK, "C.UTF-8", nullptr);
        return kept;
    }
    locale_t before_;
};

/// Bytes at the front of the text that fill at most `width` columns; at least one character.
std::size_t bytes_within(std::string_view text, std::size_t width, const Utf8Tables& tables) {
    std::size_t end = 0;
    for (std::size_t at = 0, columns = 0; at < text.size(); end = at) {
        columns += tables.width(next_code_point(text, at));
        if (columns > width && end > 0) break;
    }
    return end;
}

}  // namespace

std::string one_line(std::string_view text) {
    std::string out;
    out.reserve(text.size());
    for_each_code_point(text, [&out](char32_t code) {
        if (reorders(code)) return;
        append_utf8(out, is_control(code) ? U' ' : code);
    });
    return out;
}

std::size_t display_width(std::string_view text) {
    const Utf8Tables tables;
    std::size_t columns = 0;
    for_each_code_point(text, [&](char32_t code) { columns += tables.width(code); });
    return columns;
}

std::vector<std::string> wrap(std::string_view text, std::size_t width) {
    std::vector<std::string> lines(1);
    std::size_t used = 0;
    const auto next_line = [&] {
        lines.emplace_back();
        used = 0;
    };
    while (!text.empty()) {
        std::string_view word = text.substr(0, text.find(' '));
        text.remove_prefix(std::min(word.size() + 1, text.size()));
        if (word.empty()) continue;
        const std::size_t columns = display_width(word);
        if (used > 0 && used + 1 + columns > width) next_line();
        if (used > 0) {
            lines.back() += ' ';
            ++used;
        }
        while (display_width(word) > width) {
            const std::size_t taken = bytes_within(word, width, Utf8Tables());
            lines.back() += word.substr(0, taken);
            word.remove_prefix(taken);
            if (!word.empty()) next_line();
            if (taken == 0) break;
        }
        lines.back() += word;
        used += display_width(word);
    }
    return lines;
}

std::string escape_html(std::string_view text) {
    std::string out;
    out.reserve(text.size() + text.size() / 8);
    for_each_code_point(text, [&out](char32_t code) {
        switch (code) {
            case U'&':
                out += "&amp;";
                break;
            case U'<':
                out += "&lt;";
                break;
            case U'>':
                out += "&gt;";
                break;
            case U'"':
                out += "&quot;";
                break;
            case U'\'':
                out += "&#39;";
                break;
            default:
                append_utf8(out, is_control(code) && code != U'\n' && code != U'\t' ? kReplacement : code);
        }
    });
    return out;
}

std::string json_for_script(std::string_view json) {
    static constexpr std::pair<char32_t, std::string_view> kEscapes[] = {
        {U'<', "\\u003c"}, {U'>', "\\u003e"}, {U'&', "\\u0026"}, {U'\u2028', "\\u2028"}, {U'\u2029', "\\u2029"}};
    std::string out;
    out.reserve(json.size());
    for_each_code_point(json, [&out](char32_t code) {
        const auto* escape =
            std::find_if(std::begin(kEscapes), std::end(kEscapes), [code](const auto& e) { return e.first == code; });
        if (escape != std::end(kEscapes)) {
            out += escape->second;
        } else {
            append_utf8(out, code);
        }
    });
    return out;
}

}  // namespace bakewright::report
