#include "bakewright/page/server.hpp"

#include <doctest/doctest.h>

#include "bakewright/base/error.hpp"
#include "running_server.hpp"

using namespace bakewright::page;

TEST_CASE("the first opening puts the token into a cookie and takes it out of the address") {
    const RunningServer running;
    const auto answer = running.client().Get("/?token=" + running.server().token());
    REQUIRE(answer);
    CHECK(answer->status == 303);
    CHECK(answer->get_header_value("Location") == "/");
    const std::string cookie = answer->get_header_value("Set-Cookie");
    CHECK(cookie.find("HttpOnly") != std::string::npos);
    CHECK(cookie.find("SameSite=Strict") != std::string::npos);
    const auto page = running.client().Get("/", {{"Cookie", cookie.substr(0, cookie.find(';'))}});
    REQUIRE(page);
    CHECK(page->status == 200);
    CHECK(page->body.find("<!DOCTYPE html>") == 0);
}

TEST_CASE("nothing is answered without the token") {
    const RunningServer running;
    for (const char* path : {"/", "/page.js", "/api/shop", "/api/bakes", "/report/1", "/nowhere", "/?token=", "/?token=0123"}) {
        CAPTURE(path);
        const auto answer = running.client().Get(path);
        REQUIRE(answer);
        CHECK(answer->status == 403);
        CHECK(answer->body.find(running.server().token()) == std::string::npos);
    }
    CHECK(running.client().Post("/api/prepare", "{}", "application/json")->status == 403);
    CHECK(running.client().Delete("/api/jobs/1")->status == 403);
    CHECK(running.get("/api/shop")->status == 200);
}

TEST_CASE("another name, origin or site is refused though it has the token") {
    const RunningServer running;
    const auto with = [&](const char* name, const std::string& value) {
        httplib::Headers headers = running.bearer();
        headers.emplace(name, value);
        return running.client().Get("/api/shop", headers)->status;
    };
    CHECK(with("Host", "attacker.example:" + std::to_string(running.server().port())) == 403);
    CHECK(with("Host", "127.0.0.1:1") == 403);
    CHECK(with("Origin", "http://attacker.example") == 403);
    CHECK(with("Origin", "null") == 403);
    CHECK(with("Sec-Fetch-Site", "cross-site") == 403);
    CHECK(with("Origin", "http://" + running.host()) == 200);
    CHECK(with("Sec-Fetch-Site", "same-origin") == 200);
}

TEST_CASE("every answer says what a browser may do with it") {
    const RunningServer running;
    for (const char* path : {"/", "/page.css", "/api/shop", "/nowhere"}) {
        CAPTURE(path);
        const auto answer = running.get(path);
        REQUIRE(answer);
        CHECK(answer->get_header_value("X-Content-Type-Options") == "nosniff");
        CHECK(answer->get_header_value("Cache-Control") == "no-store");
        const std::string policy = answer->get_header_value("Content-Security-Policy");
        CHECK(policy.find("default-src 'none'") == 0);
        CHECK(policy.find("unsafe") == std::string::npos);
        CHECK(policy.find("frame-ancestors 'none'") != std::string::npos);
        CHECK(answer->get_header_value_count("Content-Security-Policy") == 1);
    }
    CHECK(running.get("/nowhere")->status == 404);
    CHECK(running.post("/api/shop", "{}")->status == 405);
}

TEST_CASE("an answer is sent as it is, not compressed for a wire within one computer") {
    const RunningServer running;
    httplib::Headers headers = running.bearer();
    headers.emplace("Accept-Encoding", "gzip, deflate, br");
    const auto answer = running.client().Get("/page.js", headers);
    REQUIRE(answer);
    CHECK_FALSE(answer->has_header("Content-Encoding"));
    CHECK(answer->body.find("use strict") != std::string::npos);
}

TEST_CASE("the address holds host, port and token, and a network is told from this computer") {
    const RunningServer running;
    CHECK(running.server().address() == "http://" + running.host() + "/?token=" + running.server().token());
    CHECK_FALSE(running.server().is_open_to_network());
    CHECK(Server({.host = "0.0.0.0"}).is_open_to_network());
}

TEST_CASE("a port that is taken, or none, is refused") {
    const RunningServer running;
    CHECK_THROWS_AS(Server({.port = 70000}), bakewright::InputError);
    CHECK_THROWS_AS(Server({.host = ""}), bakewright::InputError);
    CHECK_THROWS_AS(Server({.host = "198.51.100.1"}), bakewright::FileError);  // an address of documentation (RFC 5737): nobody's
}
