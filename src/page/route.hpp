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
};

using Handler = std::function<Answer(const Asked&)>;

/// Which work belongs to which method and path.
class Routes {
public:
    /// @param pattern  such as "/api/bakes/{}": a {} stands for one part of a path
    void add(std::string method, std::string pattern, Handler handler);

    /// The handler's answer. What it throws becomes an answer with the problems in it: 400 for InputError, 500 for the rest.
    /// 404 for a path that is none, 405 for one that is asked with another method.
    [[nodiscard]] Answer answer(Asked asked) const;

private:
    struct Route {
        std::string method;
        std::vector<std::string> parts;
        Handler handler;
    };
    std::vector<Route> routes_;
};

}  // namespace bakewright::page
