// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <functional>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace bakewright::page {

/// A request that has passed the guard.
struct Asked {
    std::string method;  ///< "GET", "POST", "DELETE"
    std::string path;
    std::map<std::string, std::string> query;
    std::string body;
    std::vector<std::string> parts{};  ///< what stands for the {} of the route, in order

    [[nodiscard]] std::string query_or(const std::string& key, const std::string& otherwise = {}) const;
};

struct Answer {
    int status = 200;
    std::string type = "application/json";
    std::string text;
    std::map<std::string, std::string> headers{};  ///< in place of, or beside, those that every answer bears
    /// Of an answer that goes on after its text (Server-sent events): asked every kBeat for what is new, until it returns nothing
    /// or the client goes. Called on the loop's thread: takes no longer than to copy, and waits for nobody.
    std::function<std::optional<std::string>()> more{};
};

/// Method, path and query of a request as sent, decoded; nothing where it is not well encoded (RFC 3986), or bears a NUL.
[[nodiscard]] std::optional<Asked> asked_of(std::string_view method, std::string_view target);

}  // namespace bakewright::page
