// SPDX-License-Identifier: Apache-2.0
#include "route.hpp"

#include <doctest/doctest.h>

#include <new>
#include <nlohmann/json.hpp>

#include "bakewright/base/error.hpp"

using namespace bakewright::page;
using bakewright::InputError;
using bakewright::Problem;

namespace {

Routes sample() {
    Routes routes;
    routes.add("GET", "/", [](const Asked&) { return Answer{.text = "root"}; });
    routes.add("GET", "/a/{}", [](const Asked& asked) { return Answer{.text = asked.parts.at(0)}; });
    routes.add("GET", "/a/b", [](const Asked&) { return Answer{.text = "never: the one above comes first"}; });
    routes.add("POST", "/wrong", [](const Asked&) -> Answer { throw InputError(Problem{"f", 3, "k", "is wrong"}); });
    routes.add("POST", "/full", [](const Asked&) -> Answer { throw std::bad_alloc(); });
    return routes;
}

Answer ask(const char* method, const char* path) {
    return sample().answer({.method = method, .path = path, .query = {}, .body = {}});
}

}  // namespace

TEST_CASE("a route answers to its method and path") {
    CHECK(ask("GET", "/").text == "root");
    CHECK(ask("GET", "/a/12").text == "12");
    CHECK(ask("GET", "/a").status == 404);
    CHECK(ask("GET", "/a/1/2").status == 404);
    CHECK(ask("GET", "/nowhere").status == 404);
    CHECK(ask("GET", "").status == 404);
    CHECK(ask("POST", "/a/12").status == 405);
}

TEST_CASE("what a route throws becomes an answer") {
    const Answer wrong = ask("POST", "/wrong");
    CHECK(wrong.status == 400);
    const auto problem = nlohmann::json::parse(wrong.text).at("problems").at(0);
    CHECK(problem.at("file") == "f");
    CHECK(problem.at("line") == 3);
    CHECK(problem.at("key") == "k");
    CHECK(problem.at("message") == "is wrong");
    CHECK(ask("POST", "/full").status == 500);
}

TEST_CASE("a target is path and query, decoded") {
    const auto asked = asked_of("GET", "/a%2fb/c+d?x=1+2%263&y&z=%C3%A9&x=4");
    REQUIRE(asked);
    CHECK(asked->path == "/a/b/c+d");
    CHECK(asked->query == std::map<std::string, std::string>{{"x", "4"}, {"y", ""}, {"z", "é"}});
    CHECK(asked_of("GET", "/")->query.empty());
    CHECK(asked_of("GET", "/?")->query.empty());
    for (const char* target : {"/%", "/%2", "/%2g", "/a%00", "/?a=%zz", "/?%"}) {
        CAPTURE(target);
        CHECK_FALSE(asked_of("GET", target));
    }
}

TEST_CASE("what a route takes as its body is known before it is read") {
    Routes routes = sample();
    routes.add(
        "POST", "/log", [](const Asked&) { return Answer{}; }, RouteRule{.body_type = "a/b", .largest_body_bytes = 7});
    const auto rule = [&](const char* method, const char* path) { return routes.rule_of(*asked_of(method, path)); };
    CHECK(rule("POST", "/log")->largest_body_bytes == 7);
    CHECK(rule("POST", "/wrong")->body_type == "application/json");
    CHECK(rule("POST", "/wrong")->largest_body_bytes == 1048576);
    CHECK(rule("GET", "/a/12")->body_type.empty());
    CHECK(rule("GET", "/log") == nullptr);
    CHECK(rule("GET", "nowhere") == nullptr);
}
