#include "route.hpp"

#include <algorithm>
#include <new>

#include "answers.hpp"
#include "bakewright/base/error.hpp"

namespace bakewright::page {
namespace {

std::vector<std::string> parts_of(std::string_view path) {
    std::vector<std::string> parts;
    while (!path.empty()) {
        path.remove_prefix(1);  // the slash
        const std::size_t end = std::min(path.find('/'), path.size());
        parts.emplace_back(path.substr(0, end));
        path.remove_prefix(end);
    }
    return parts;
}

/// What stands for the {} of a route; nothing where the path is another.
std::optional<std::vector<std::string>> matched(const std::vector<std::string>& route, const std::vector<std::string>& path) {
    if (route.size() != path.size()) return std::nullopt;
    std::vector<std::string> found;
    for (std::size_t i = 0; i < route.size(); ++i) {
        if (route[i] == "{}")
            found.push_back(path[i]);
        else if (route[i] != path[i])
            return std::nullopt;
    }
    return found;
}

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

RouteRule json_rule() { return {.body_type = "application/json", .largest_body_bytes = std::size_t{1} << 20}; }

void Routes::add(std::string method, std::string pattern, Handler handler, std::optional<RouteRule> rule) {
    ensure(pattern.starts_with('/'), "a route begins with a slash");
    if (!rule) rule = method == "POST" ? json_rule() : RouteRule{};
    routes_.push_back({std::move(method), parts_of(pattern), std::move(handler), std::move(*rule)});
}

const RouteRule* Routes::rule_of(const Asked& asked) const {
    if (!asked.path.starts_with('/')) return nullptr;
    const std::vector<std::string> path = parts_of(asked.path);
    for (const Route& route : routes_)
        if (route.method == asked.method && matched(route.parts, path)) return &route.rule;
    return nullptr;
}

Answer Routes::answer(Asked asked) const {
    if (!asked.path.starts_with('/')) return problem_answer(404, "there is nothing under this address");
    const std::vector<std::string> path = parts_of(asked.path);
    bool is_known = false;
    for (const Route& route : routes_) {
        std::optional<std::vector<std::string>> found = matched(route.parts, path);
        if (!found) continue;
        is_known = true;
        if (route.method != asked.method) continue;
        asked.parts = std::move(*found);
        return guarded([&] { return route.handler(asked); });
    }
    return is_known ? problem_answer(405, "this address is not asked that way")
                    : problem_answer(404, "there is nothing under this address");
}

}  // namespace bakewright::page
