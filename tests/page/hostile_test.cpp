// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include <memory>

#include "running_server.hpp"

using namespace bakewright::page;

namespace {

bool is_alive(const RunningServer& running) {
    const auto answer = running.get("/api/shop");
    return answer && answer->status == 200;
}

const char* const kPaths[] = {"/api/prepare",        "/api/prepare/keep",         "/api/prepare/map",
                              "/api/prepare/search", "/api/prepare/certainty",    "/api/logs/1/read",
                              "/api/logs/1/keep",    "/api/history/x/coats",      "/api/history/x/bakes",
                              "/api/coats/1/sanded", "/api/profiles/shell/check", "/api/profiles/shell/x/save",
                              "/api/bakes/1/note",   "/api/bakes/1/certainty",    "/api/tune",
                              "/api/tune/1/keep"};

}  // namespace

TEST_CASE("whatever is posted is answered with a problem, and the server goes on") {
    const RunningServer running;
    const std::string deep = "{\"shell\":" + std::string(100000, '[') + "}";
    const std::string bodies[] = {"",
                                  "{",
                                  "[]",
                                  "null",
                                  "\"x\"",
                                  deep,
                                  "{\"shell\":1e999}",
                                  "{\"shell\":{}}",
                                  "{\"shell\":[1,2]}",
                                  "{\"shell\":\"../../etc/passwd\"}",
                                  "{\"shell\":\"/etc/passwd\"}",
                                  "{\"units\":7}",
                                  "{\"text\":7,\"at\":7,\"note\":7,\"bake\":\"x\",\"coating\":7}",
                                  std::string("{\"shell\":\"\0\"}", 13),
                                  "\xff\xfe\x00",
                                  std::string(100000, 'x')};
    for (const char* path : kPaths)
        for (const std::string& body : bodies) {
            CAPTURE(path);
            CAPTURE(body.substr(0, 60));
            const auto answer = running.post(path, body);
            REQUIRE(answer);
            CHECK(answer->status >= 400);
            CHECK(answer->status < 500);
            CHECK(nlohmann::json::parse(answer->body).at("format") == "bakewright.problems");
        }
    CHECK(is_alive(running));
}

TEST_CASE("numbers out of any range are refused with their key") {
    const RunningServer running;
    for (const char* key : {"setpoint_k", "hold_s", "ramp_k_per_s", "flash_off_s", "start_temperature_k"})
        for (const double value : {-1e300, -1.0, 1e300}) {
            auto body = demo_bake();
            body[key] = value;
            CAPTURE(key);
            CAPTURE(value);
            const auto answer = running.post("/api/prepare", body.dump());
            REQUIRE(answer);
            CHECK(answer->status == 400);
        }
    auto zero = demo_bake();
    zero["hold_s"] = 0.0;
    CHECK(running.post("/api/prepare", zero.dump())->status == 400);
}

TEST_CASE("names in a path reach no other file") {
    const RunningServer running;
    for (const char* name : {"..%2f..%2fetc%2fpasswd", "%2fetc%2fpasswd", "..", ".hidden", "a%00b", "%ff"}) {
        CAPTURE(name);
        const auto answer = running.get(std::string("/api/profiles/shell/") + name);
        REQUIRE(answer);
        CHECK(answer->status >= 400);
        CHECK(answer->body.find("root:") == std::string::npos);
        CHECK(running.post(std::string("/api/profiles/shell/") + name + "/save", R"({"text":"kind = \"shell\""})")->status >=
              400);
    }
    CHECK_FALSE(std::filesystem::exists(running.folder() / "profiles"));
}

TEST_CASE("a body is bounded, whole and of the type that is wanted; what is refused closes the connection") {
    const RunningServer running(5, 1000000);
    const auto told = [&](const std::string& path, const HttpFields& more, const std::string& method = "POST") {
        HttpFields fields = running.bearer();
        fields.insert(fields.end(), more.begin(), more.end());
        Wire wire = running.wire();
        CHECK(wire.say(bakewright::support::http_request(method, path, fields)));
        const auto answer = wire.hear();
        REQUIRE(answer);
        CHECK(wire.ends());
        return answer->status;
    };
    const auto announced = [&](const char* path, const char* type, std::size_t bytes) {
        return told(path, {{"Content-Type", type}, {"Content-Length", std::to_string(bytes)}});
    };
    CHECK(announced("/api/prepare", "application/json", (std::size_t{1} << 20) + 1) == 413);
    CHECK(announced("/api/logs", "application/octet-stream", 1000001) == 413);
    CHECK(announced("/api/logs", "application/octet-stream", std::size_t{1} << 60) == 413);
    CHECK(announced("/api/prepare", "text/plain", 2) == 415);
    CHECK(announced("/api/prepare", "application/x-www-form-urlencoded", 3) == 415);
    CHECK(announced("/api/logs", "application/json", 4) == 415);
    CHECK(announced("/nowhere", "application/json", 4) == 404);
    CHECK(announced("/api/shop", "application/json", 4) == 405);
    CHECK(told("/api/shop", {{"Content-Length", "1"}}, "GET") == 413);
    CHECK(told("/api/jobs/1", {{"Content-Length", "1"}}, "DELETE") == 413);
    CHECK(told("/api/prepare", {{"Content-Type", "application/json"}}) == 411);
    CHECK(told("/api/prepare", {{"Content-Type", "application/json"}, {"Transfer-Encoding", "chunked"}}) == 411);
    CHECK(told("/api/prepare", {{"Content-Type", "application/json"}, {"Content-Encoding", "gzip"}, {"Content-Length", "5"}}) ==
          411);
    CHECK(told("/api/prepare", {{"Content-Type", "application/json"}, {"Content-Length", "x"}}) == 400);
    CHECK(is_alive(running));
}

TEST_CASE("broken requests end their own connection and no other, and bear every header") {
    const RunningServer running;
    for (const std::string& text :
         {std::string("\0\0\0\0\r\n\r\n", 8), std::string("GET\r\n\r\n"), std::string("GET / HTTP/9.9\r\n\r\n"),
          std::string("\xff\xfe\xfd\r\n\r\n"), "GET /" + std::string(20000, 'a') + " HTTP/1.1\r\n\r\n",
          std::string("GET / HTTP/1.1\r\nHost: a\r\nHost: b\r\n\r\n"),
          std::string("POST /api/prepare HTTP/1.1\r\nContent-Length: -5\r\n\r\n"),
          bakewright::support::http_request("GET", "/%zz", running.bearer())}) {
        Wire wire = running.wire();
        CHECK(wire.say(text));
        const auto answer = wire.hear();
        REQUIRE(answer);
        CHECK(answer->status >= 400);
        CHECK(answer->field("content-security-policy").starts_with("default-src 'none'"));
        CHECK(answer->field("cache-control") == "no-store");
        CHECK(wire.ends());
    }
    static_cast<void>(running.wire());
    CHECK(is_alive(running));
}

TEST_CASE("clients that say nothing do not keep others waiting") {
    const RunningServer running(60);
    std::vector<std::unique_ptr<Wire>> silent;
    for (int i = 0; i < 300; ++i) {
        silent.push_back(std::make_unique<Wire>(running.server().port()));
        if (i % 2 == 0) silent.back()->say("POST /api/prepare HTTP/1.1\r\nHost: x");
        if (i % 50 == 0) CHECK(is_alive(running));
    }
    CHECK(is_alive(running));
}
