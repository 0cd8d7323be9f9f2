// SPDX-License-Identifier: Apache-2.0
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

}  // namespace

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
