// SPDX-License-Identifier: Apache-2.0
#include "bakewright/page/server.hpp"

#include <doctest/doctest.h>

#include "bakewright/base/error.hpp"
#include "running_server.hpp"

using namespace bakewright::page;
using bakewright::FileError;
using bakewright::InputError;

namespace {

/// The code of an address.
std::string code_of(const std::string& address) { return address.substr(address.find('#') + 1); }

std::optional<HttpAnswer> open_with(const RunningServer& running, const std::string& code, const HttpFields& more = {}) {
    HttpFields fields = {{"Host", running.host()}, {"Content-Type", "application/json"}};
    fields.insert(fields.end(), more.begin(), more.end());
    return running.ask("POST", "/open", fields, nlohmann::json{{"code", code}}.dump());
}

}  // namespace

TEST_CASE("the address opens the page once: a POST spends its code for a cookie") {
    RunningServer running;
    const std::string address = running.server().new_address();
    CHECK(address.starts_with("http://" + running.host() + "/open#"));
    for (int looks = 0; looks < 3; ++looks)  // a browser that looks ahead spends nothing
        for (const char* method : {"GET", "HEAD"}) {
            const auto page = running.ask(method, "/open", {{"Host", running.host()}, {"Sec-Fetch-Site", "cross-site"}});
            REQUIRE(page);
            CHECK(page->status == 200);
            CHECK(page->count("set-cookie") == 0);
        }
    const auto opened = open_with(running, code_of(address));
    REQUIRE(opened);
    CHECK(opened->status == 200);
    const std::string cookie = opened->field("set-cookie");
    CHECK(cookie.find("; HttpOnly") != std::string::npos);
    CHECK(cookie.find("; SameSite=Strict") != std::string::npos);
    CHECK(cookie.find("Max-Age") == std::string::npos);
    const HttpFields with_cookie = {{"Host", running.host()}, {"Cookie", cookie.substr(0, cookie.find(';'))}};
    const auto page = running.ask("GET", "/", with_cookie);
    REQUIRE(page);
    CHECK(page->body.starts_with("<!DOCTYPE html>"));

    const auto again = open_with(running, code_of(address));
    CHECK(again->status == 403);
    CHECK(again->count("set-cookie") == 0);
    CHECK(again->body.find("Enter") != std::string::npos);
    const auto with_page = open_with(running, code_of(address), {with_cookie.at(1)});  // a tab that is opened once more
    CHECK(with_page->status == 200);
    CHECK(with_page->count("set-cookie") == 0);
}

TEST_CASE("a code is spent by whoever sends it, also with the page open already") {
    RunningServer running;
    const std::string code = code_of(running.server().new_address());
    CHECK(open_with(running, code, {{"Authorization", "Bearer " + running.server().token()}})->status == 200);
    CHECK(open_with(running, code)->status == 403);
}

TEST_CASE("a code is taken from this server's page alone, and another makes it worthless") {
    RunningServer running;
    const std::string first = code_of(running.server().new_address()), code = code_of(running.server().new_address());
    CHECK(open_with(running, first)->status == 403);
    CHECK(open_with(running, code, {{"Origin", "http://attacker.example"}})->status == 403);
    CHECK(open_with(running, code, {{"Sec-Fetch-Site", "cross-site"}})->status == 403);
    CHECK(open_with(running, "")->status == 403);
    CHECK(running.ask("POST", "/open", {{"Host", running.host()}, {"Content-Type", "application/json"}}, "{}")->status == 400);
    CHECK(running.ask("POST", "/open", {{"Host", running.host()}, {"Content-Type", "application/json"}}, std::string(2000, ' '))
              ->status == 413);
    CHECK(running.ask("POST", "/open", {{"Host", running.host()}, {"Content-Type", "text/plain"}}, "{}")->status == 415);
    CHECK(running
              .ask("POST", "/open", {{"Host", "attacker.example:1"}, {"Content-Type", "application/json"}},
                   nlohmann::json{{"code", code}}.dump())
              ->status == 403);
    CHECK(open_with(running, code)->status == 200);
}

TEST_CASE("nothing is answered without the token but the page that opens") {
    const RunningServer running;
    for (const char* path : {"/", "/page.js", "/api/shop", "/api/bakes", "/report/1", "/nowhere", "/?token=", "/open/x"}) {
        CAPTURE(path);
        const auto answer = running.ask("GET", path, {{"Host", running.host()}});
        REQUIRE(answer);
        CHECK(answer->status == 403);
        CHECK(answer->body.find(running.server().token()) == std::string::npos);
    }
    const HttpFields json = {{"Host", running.host()}, {"Content-Type", "application/json"}};
    CHECK(running.ask("POST", "/api/prepare", json, "{}")->status == 403);
    CHECK(running.ask("DELETE", "/api/jobs/1", {{"Host", running.host()}})->status == 403);
    CHECK(running.ask("GET", "/api/shop", {{"Host", running.host()}, {"Authorization", "Bearer "}})->status == 403);
    for (const char* path : {"/open", "/open.js", "/open.css"})
        CHECK(running.ask("GET", path, {{"Host", running.host()}})->status == 200);
    CHECK(running.get("/api/shop")->status == 200);
}

TEST_CASE("another name, origin or site is refused though it has the token") {
    const RunningServer running;
    const auto with = [&](const std::string& name, const std::string& value) {
        HttpFields fields = running.bearer();
        if (name == "Host") fields.erase(fields.begin());
        fields.emplace_back(name, value);
        return running.ask("GET", "/api/shop", fields)->status;
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
    for (const char* path : {"/", "/page.css", "/api/shop", "/nowhere", "/open", "/%zz"}) {
        CAPTURE(path);
        const auto answer = running.get(path);
        REQUIRE(answer);
        CHECK(answer->field("x-content-type-options") == "nosniff");
        CHECK(answer->field("cache-control") == "no-store");
        const std::string policy = answer->field("content-security-policy");
        CHECK(policy.find("default-src 'none'") == 0);
        CHECK(policy.find("unsafe") == std::string::npos);
        CHECK(policy.find("frame-ancestors 'none'") != std::string::npos);
        CHECK(answer->count("content-security-policy") == 1);
    }
    CHECK(running.get("/nowhere")->status == 404);
    CHECK(running.get("/nowhere")->field("connection") == "keep-alive");
    CHECK(running.post("/api/shop", "{}")->status == 405);
}

TEST_CASE("an answer is sent as it is, not compressed for a wire within one computer") {
    const RunningServer running;
    HttpFields fields = running.bearer();
    fields.emplace_back("Accept-Encoding", "gzip, deflate, br");
    const auto answer = running.ask("GET", "/page.js", fields);
    REQUIRE(answer);
    CHECK(answer->count("content-encoding") == 0);
    CHECK(answer->body.find("use strict") != std::string::npos);
}

TEST_CASE("what the network reaches is encrypted or refused") {
    for (const char* host : {"0.0.0.0", "::", "127.0.0.1.attacker.example"})
        CHECK_THROWS_AS(Server({.host = host}), std::runtime_error);
    CHECK_THROWS_WITH_AS(Server({.host = "0.0.0.0"}), doctest::Contains("--tls"), InputError);
    Server open({.host = "0.0.0.0", .tls = true});
    CHECK(open.is_open_to_network());
    CHECK(open.new_address().starts_with("https://127.0.0.1:"));
    CHECK(open.certificate_fingerprint().size() == 95);
    const RunningServer running;
    CHECK_FALSE(running.server().is_open_to_network());
    CHECK(running.server().certificate_fingerprint().empty());
}

TEST_CASE("a port that is taken, or none, is refused") {
    const RunningServer running;
    CHECK_THROWS_AS(Server({.port = 70000}), InputError);
    CHECK_THROWS_AS(Server({.port = running.server().port()}), FileError);
    CHECK_THROWS_AS(Server({.host = ""}), InputError);
    CHECK_THROWS_AS(Server({.certificate_file = "c.pem"}), InputError);
    CHECK_THROWS_AS(Server({.host = "198.51.100.1", .tls = true}),
                    FileError);  // an address of documentation (RFC 5737): nobody's
}

TEST_CASE("a book that was there and is gone is told as such, and no other takes its place") {
    const RunningServer running;
    CHECK(running.get_json("/api/bakes").at("bakes").empty());  // no book yet
    REQUIRE(running.post_json("/api/prepare/keep", demo_bake()).at("bake") == 1);
    const auto book = running.folder() / "test.book", away = running.folder() / "away.book";
    std::filesystem::rename(book, away);
    for (const char* path : {"/api/bakes", "/api/shop", "/api/history", "/report/1"}) {
        CAPTURE(path);
        const auto answer = running.get(path);
        CHECK(answer->status == 500);
        CHECK(answer->body.find("is gone") != std::string::npos);
    }
    CHECK(running.post("/api/prepare/keep", demo_bake().dump())->status == 500);
    CHECK_FALSE(std::filesystem::exists(book));
    std::filesystem::rename(away, book);
    CHECK(running.get_json("/api/bakes").at("bakes").size() == 1);
}
