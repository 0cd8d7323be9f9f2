#include <arpa/inet.h>
#include <doctest/doctest.h>
#include <sys/socket.h>

#include <chrono>

#include "running_server.hpp"

using namespace bakewright::page;

namespace {

/// A connection that speaks no more than it is told to.
class Wire {
public:
    explicit Wire(int port) : socket_(::socket(AF_INET, SOCK_STREAM, 0)) {
        sockaddr_in address{};
        address.sin_family = AF_INET;
        address.sin_port = htons(static_cast<std::uint16_t>(port));
        address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
        REQUIRE(::connect(socket_, reinterpret_cast<const sockaddr*>(&address), sizeof address) == 0);
    }
    ~Wire() { ::close(socket_); }
    Wire(const Wire&) = delete;
    Wire& operator=(const Wire&) = delete;
    void say(const std::string& text) const { CHECK(::send(socket_, text.data(), text.size(), MSG_NOSIGNAL) > 0); }
    [[nodiscard]] std::string hear() const {
        char block[4096];
        const ssize_t count = ::recv(socket_, block, sizeof block, 0);
        return count > 0 ? std::string(block, static_cast<std::size_t>(count)) : std::string();
    }

private:
    int socket_;
};

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

TEST_CASE("a body is bounded, whole and of the type that is wanted") {
    const RunningServer running(5, 1000000);
    const auto announced = [&](const char* path, const char* type, std::size_t bytes) {
        const Wire wire(running.server().port());
        wire.say(std::string("POST ") + path + " HTTP/1.1\r\nHost: " + running.host() + "\r\nAuthorization: Bearer " +
                 running.server().token() + "\r\nContent-Type: " + type + "\r\nContent-Length: " + std::to_string(bytes) +
                 "\r\n\r\n");
        return wire.hear();
    };
    CHECK(announced("/api/prepare", "application/json", (std::size_t{1} << 20) + 1).find(" 413 ") != std::string::npos);
    CHECK(announced("/api/logs", "application/octet-stream", 1000001).find(" 413 ") != std::string::npos);
    CHECK(announced("/api/logs", "application/octet-stream", std::size_t{1} << 60).find(" 413 ") != std::string::npos);
    CHECK(running.post("/api/prepare", demo_bake().dump(), "text/plain")->status == 415);
    CHECK(running.post("/api/prepare", "a=b", "application/x-www-form-urlencoded")->status == 415);
    CHECK(running.post("/api/logs", "t,T\n", "application/json")->status == 415);
    const Wire wire(running.server().port());
    wire.say("POST /api/prepare HTTP/1.1\r\nHost: " + running.host() + "\r\nAuthorization: Bearer " + running.server().token() +
             "\r\nContent-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\n5\r\nhello\r\n");
    CHECK(wire.hear().find("411") != std::string::npos);
    CHECK(is_alive(running));
}

TEST_CASE("broken requests end their own connection and no other") {
    const RunningServer running;
    for (const std::string& text :
         {std::string("\0\0\0\0\r\n\r\n", 8), std::string("GET\r\n\r\n"), std::string("GET / HTTP/9.9\r\n\r\n"),
          std::string("\xff\xfe\xfd\r\n\r\n"), "GET /" + std::string(20000, 'a') + " HTTP/1.1\r\n\r\n",
          std::string("GET / HTTP/1.1\r\nHost: a\r\nHost: b\r\n\r\n"),
          std::string("POST /api/prepare HTTP/1.1\r\nContent-Length: -5\r\n\r\n")}) {
        const Wire wire(running.server().port());
        wire.say(text);
        CHECK(wire.hear().find(" 200 ") == std::string::npos);
    }
    { const Wire gone(running.server().port()); }
    CHECK(is_alive(running));
}

TEST_CASE("clients that say nothing do not keep others waiting") {
    const RunningServer running(1);
    std::vector<std::unique_ptr<Wire>> silent;
    for (int i = 0; i < 40; ++i) {
        silent.push_back(std::make_unique<Wire>(running.server().port()));
        if (i % 2 == 0) silent.back()->say("POST /api/prepare HTTP/1.1\r\nHost: x");
    }
    CHECK(is_alive(running));
    silent.front()->say("\r\nContent-Le");
    CHECK(is_alive(running));
}
