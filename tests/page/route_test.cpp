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
