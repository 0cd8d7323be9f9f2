// SPDX-License-Identifier: Apache-2.0
#include "request.hpp"

#include <algorithm>

namespace bakewright::page {
namespace {

std::optional<int> hex_digit(char digit) {
    if (digit >= '0' && digit <= '9') return digit - '0';
    const char small = static_cast<char>(digit | 0x20);
    if (small >= 'a' && small <= 'f') return small - 'a' + 10;
    return std::nullopt;
}

/// "a%20b" as "a b". @param plus_is_blank  as in a query
std::optional<std::string> decoded(std::string_view text, bool plus_is_blank) {
    std::string plain;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] == '%') {
            if (i + 2 >= text.size()) return std::nullopt;
            const auto high = hex_digit(text[i + 1]), low = hex_digit(text[i + 2]);
            if (!high || !low || (*high == 0 && *low == 0)) return std::nullopt;
            plain += static_cast<char>(*high * 16 + *low);
            i += 2;
        } else {
            plain += plus_is_blank && text[i] == '+' ? ' ' : text[i];
        }
    }
    return plain;
}

bool add_query(Asked& asked, std::string_view query) {
    while (!query.empty()) {
        const std::size_t end = std::min(query.find('&'), query.size());
        const std::string_view pair = query.substr(0, end);
        const std::size_t equals = std::min(pair.find('='), pair.size());
        const auto key = decoded(pair.substr(0, equals), true);
        const auto value = decoded(pair.substr(std::min(equals + 1, pair.size())), true);
        if (!key || !value) return false;
        asked.query[*key] = *value;
        query.remove_prefix(std::min(end + 1, query.size()));
    }
    return true;
}

}  // namespace

std::string Asked::query_or(const std::string& key, const std::string& otherwise) const {
    const auto at = query.find(key);
    return at == query.end() ? otherwise : at->second;
}

std::optional<Asked> asked_of(std::string_view method, std::string_view target) {
    const std::size_t end = std::min(target.find('?'), target.size());
    const auto path = decoded(target.substr(0, end), false);
    if (!path) return std::nullopt;
    Asked asked{.method = std::string(method), .path = *path, .query = {}, .body = {}};
    if (!add_query(asked, target.substr(std::min(end + 1, target.size())))) return std::nullopt;
    return asked;
}

}  // namespace bakewright::page
