// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "request.hpp"

namespace bakewright::page {

using Handler = std::function<Answer(const Asked&)>;

enum class Pace {
    quick,  ///< takes no longer than to copy the answer, and waits for nobody
    usual,
    slow,  ///< seconds: leaves room for others
};

/// What is known of a route before it is asked.
struct RouteRule {
    std::string body_type{};             ///< empty: none is taken; else its Content-Type
    std::size_t largest_body_bytes = 0;  ///< bounds it before it is read
    Pace pace = Pace::usual;
};

/// JSON of at most a mebibyte, which any POST takes that says nothing else.
[[nodiscard]] RouteRule json_rule();

/// Which work belongs to which method and path.
class Routes {
public:
    /// @param pattern  such as "/api/bakes/{}": a {} stands for one part of a path
    /// @param rule  of the body: by default that of any POST, and none for any other method
    void add(std::string method, std::string pattern, Handler handler, std::optional<RouteRule> rule = std::nullopt);

    /// Nothing where no route answers.
    [[nodiscard]] const RouteRule* rule_of(const Asked& asked) const;

    /// The handler's answer. What it throws becomes an answer with the problems in it: 400 for InputError, 500 for the rest.
    /// 404 for a path that is none, 405 for one that is asked with another method.
    [[nodiscard]] Answer answer(Asked asked) const;

private:
    struct Route {
        std::string method;
        std::vector<std::string> parts;
        Handler handler;
        RouteRule rule;
    };
    std::vector<Route> routes_;
};

}  // namespace bakewright::page
