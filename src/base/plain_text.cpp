// SPDX-License-Identifier: Apache-2.0
#include "plain_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace bakewright {
namespace {

struct Spelling {
    std::string_view from;
    std::string_view to;
};

/// Longer sequences stand before their own beginnings.
constexpr std::array<Spelling, 39> kSpellings = {{
    {"\t", " "},
    {"\u00a0", " "},
    {"\u2009", " "},
    {"\u202f", " "},  // spaces
    {"\u00b5", "u"},
    {"\u03bc", "u"},  // micro sign, Greek mu
    {"\u00b0", "deg"},
    {"\u00ba", "deg"},
    {"\u2103", "degC"},
    {"\u2109", "degF"},  // degree signs
    {"\u212a", "K"},     // kelvin sign
    {"\u207b\u00b9", "^-1"},
    {"\u207b\u00b2", "^-2"},
    {"\u207b\u00b3", "^-3"},  // superscripts
    {"\u00b2", "^2"},
    {"\u00b3", "^3"},
    {"\u00b7", "*"},
    {"\u22c5", "*"},
    {"\u00d7", "*"},  // multiplication signs
    {"\u2212", "-"},
    {"\u2010", "-"},
    {"\u2011", "-"},  // minus and hyphens
    {"\u2044", "/"},
    {"\u2215", "/"},  // fraction slashes
    {"\u2033", "\""},
    {"\u201c", "\""},
    {"\u201d", "\""},  // double prime, quotes
    {"\u2032", "'"},
    {"\u2018", "'"},
    {"\u2019", "'"},  // prime, quotes
    {"\u00bd", " 1/2"},
    {"\u00bc", " 1/4"},
    {"\u00be", " 3/4"},
    {"\u215b", " 1/8"},  // vulgar fractions
    {"\u215c", " 3/8"},
    {"\u215d", " 5/8"},
    {"\u215e", " 7/8"},
    {"\u2153", " 1/3"},
    {"\u2154", " 2/3"},
}};

bool continues_utf8(char byte) { return (static_cast<unsigned char>(byte) & 0xC0U) == 0x80U; }

constexpr std::size_t kShownBytes = 60;

}  // namespace

std::string plain_text(std::string_view text) {
    std::string plain;
    while (!text.empty()) {
        const auto fits = [text](const Spelling& spelling) { return text.starts_with(spelling.from); };
        const auto* const found = std::find_if(kSpellings.begin(), kSpellings.end(), fits);
        const bool replaced = found != kSpellings.end();
        plain += replaced ? found->to : text.substr(0, 1);
        text.remove_prefix(replaced ? found->from.size() : 1);
    }
    return plain;
}

std::string in_quotes(std::string_view text) {
    std::size_t shown = std::min(text.size(), kShownBytes);
    while (shown > 0 && shown < text.size() && continues_utf8(text[shown])) --shown;
    std::string result = "\"";
    for (const char byte : text.substr(0, shown)) {
        const auto code = static_cast<unsigned char>(byte);
        const bool hidden = code < 0x20 || code == 0x7F;
        result += hidden ? fmt::format("\\x{:02x}", code) : std::string(1, byte);
    }
    return result + (shown < text.size() ? "...\"" : "\"");
}

bool starts_with_word(std::string_view text, std::string_view small_word) noexcept {
    return text.size() >= small_word.size() && std::equal(small_word.begin(), small_word.end(), text.begin(),
                                                          [](char word, char other) { return word == lower(other); });
}

}  // namespace bakewright
