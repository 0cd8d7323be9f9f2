// SPDX-License-Identifier: Apache-2.0
#include "http.hpp"

#include <doctest/doctest.h>

#include <atomic>
#include <latch>
#include <memory>
#include <thread>

#include "support/http_client.hpp"

using namespace bakewright::page;
using bakewright::support::http_request;
using bakewright::support::HttpFields;
using bakewright::support::Wire;

namespace {

/// A server whose work is told by the target: "/wait" ends when let go, "/token" bears the token, "/quick" passes the queue by,
/// "/slow" is slow work that ends when let go, "/goes-on" tells a count until it is let go, "/refused" is refused before its
/// body; the answer is the target, then the body.
class Bench {
public:
    explicit Bench(HttpOptions options = {}) : http_(with_defaults(options), [this](const Head& head) { return admit(head); }) {
        thread_ = std::thread([this] { http_.run(); });
    }
    ~Bench() {
        let_go();
        stop();
    }
    void stop() {
        http_.stop();
        if (thread_.joinable()) thread_.join();
    }
    void let_go() {
        if (!is_let_go_.exchange(true)) may_end_.count_down();
    }
    void wait_for_begun(int count) const {
        while (begun_ < count) std::this_thread::yield();
    }
    [[nodiscard]] int port() const { return http_.port(); }
    [[nodiscard]] Wire wire() const { return Wire(http_.port()); }
    [[nodiscard]] std::unique_ptr<Wire> asked(const std::string& target) const {
        auto wire = std::make_unique<Wire>(http_.port());
        CHECK(wire->say(http_request("GET", target, {})));
        return wire;
    }
    /// As soon as the loop has seen what was said before.
    void settle() const { REQUIRE(asked("/quick")->hear()); }
    [[nodiscard]] int begun() const { return begun_; }
    [[nodiscard]] int asked_for_more() const { return asked_for_more_; }

private:
    static HttpOptions with_defaults(HttpOptions options) {
        options.host = "127.0.0.1";
        if (options.workers == 0) options.workers = 1;
        if (options.largest_bodies_bytes == 0) options.largest_bodies_bytes = 1000;
        return options;
    }
    Answer going_on() {
        return {
            .type = "text/event-stream", .text = "begins\n", .more = [this, told = 0]() mutable -> std::optional<std::string> {
                if (is_let_go_) return std::nullopt;
                ++asked_for_more_;
                return "beat " + std::to_string(++told) + "\n";
            }};
    }
    Admission admit(const Head& head) {
        if (head.target == "/refused") return {.refusal = Answer{.status = 403, .type = "text/plain", .text = "no"}};
        if (head.target == "/throws") throw std::bad_alloc();
        const auto work = [this, target = head.target](const std::string& body) {
            if (target == "/broken") throw std::bad_alloc();
            if (target == "/wait" || target == "/slow") {
                ++begun_;
                may_end_.wait();
            }
            if (target == "/goes-on") return going_on();
            return Answer{.type = "text/plain", .text = target + body};
        };
        const Pace pace = head.target == "/quick" ? Pace::quick : head.target == "/slow" ? Pace::slow : Pace::usual;
        return {.work = work, .bears_token = head.target == "/token", .pace = pace};
    }

    std::latch may_end_{1};
    std::atomic<bool> is_let_go_ = false;
    std::atomic<int> begun_ = 0, asked_for_more_ = 0;
    Http http_;
    std::thread thread_;
};

/// What became of a connection that said this.
std::pair<int, bool> status_and_end(const Bench& bench, const std::string& text) {
    Wire wire = bench.wire();
    CHECK(wire.say(text));
    const auto answer = wire.hear();
    REQUIRE(answer);
    CHECK(answer->field("x-content-type-options") == "nosniff");
    CHECK(answer->field("content-security-policy").starts_with("default-src 'none'"));
    return {answer->status, wire.ends()};
}

}  // namespace

TEST_CASE("pipelined requests each get their answer, in their order") {
    const Bench bench;
    Wire wire = bench.wire();
    CHECK(wire.say(http_request("GET", "/a", {}) + http_request("POST", "/b", {}, "ody") + http_request("GET", "/c", {})));
    for (const char* text : {"/a", "/body", "/c"}) {
        const auto answer = wire.hear();
        REQUIRE(answer);
        CHECK(answer->status == 200);
        CHECK(answer->body == text);
    }
}

TEST_CASE("a client that has said its last gets its answer, at once and from the queue") {
    Bench bench;
    const auto begun = bench.asked("/wait");
    begun->say_no_more();
    bench.wait_for_begun(1);
    const auto queued = bench.asked("/queued");
    queued->say_no_more();
    bench.settle();
    bench.let_go();
    for (Wire* wire : {begun.get(), queued.get()}) {
        const auto answer = wire->hear();
        REQUIRE(answer);
        CHECK(answer->status == 200);
        CHECK(wire->ends());
    }
}

TEST_CASE("the queue is bounded, and who closes leaves it without being worked for") {
    Bench bench;
    const auto first = bench.asked("/wait");
    bench.wait_for_begun(1);
    {
        std::vector<std::unique_ptr<Wire>> queued;
        for (std::size_t i = 0; i < kLongestQueue; ++i) queued.push_back(bench.asked("/wait"));
        bench.settle();
        const auto refused = bench.asked("/wait")->hear();
        REQUIRE(refused);
        CHECK(refused->status == 503);
        CHECK(refused->field("retry-after") == "1");
    }
    for (int i = 0; i < 50; ++i) bench.settle();  // an interim answer goes to those who are gone, and comes back
    std::vector<std::unique_ptr<Wire>> later;
    for (std::size_t i = 0; i < kLongestQueue; ++i) later.push_back(bench.asked("/later"));
    bench.settle();
    bench.let_go();
    for (const auto& wire : later) CHECK(wire->hear()->status == 200);
    CHECK(bench.begun() == 1);
}

TEST_CASE("slow work leaves half of the pool and of the queue to others") {
    Bench bench({.workers = 2});
    std::vector<std::unique_ptr<Wire>> slow;
    for (std::size_t i = 0; i <= kLongestQueue / 2; ++i) slow.push_back(bench.asked("/slow"));
    bench.wait_for_begun(1);
    bench.settle();
    CHECK(bench.asked("/slow")->hear()->status == 503);
    CHECK(bench.asked("/a")->hear()->status == 200);
    CHECK(bench.begun() == 1);
    bench.let_go();
    for (const auto& wire : slow) CHECK(wire->hear()->status == 200);
}

TEST_CASE("a header without end, with too many fields or that is none is refused, and the connection closes") {
    const Bench bench;
    std::string many = "GET /a HTTP/1.1\r\n";
    for (int i = 0; i < 101; ++i) many += "A: b\r\n";
    using Outcome = std::pair<int, bool>;
    CHECK(status_and_end(bench, many + "\r\n") == Outcome{431, true});
    CHECK(status_and_end(bench, "GET /a HTTP/1.1\r\nA: " + std::string(40000, 'a')) == Outcome{431, true});
    CHECK(status_and_end(bench, "GET /" + std::string(20000, 'a') + " HTTP/1.1\r\n\r\n") == Outcome{431, true});
    CHECK(status_and_end(bench, "GET\r\n\r\n") == Outcome{400, true});
    CHECK(status_and_end(bench, "GET /a HTTP/9.9\r\n\r\n") == Outcome{400, true});
    CHECK(status_and_end(bench, std::string("\0\0\0\r\n\r\n", 7)) == Outcome{400, true});
    CHECK(status_and_end(bench, "POST /a HTTP/1.1\r\nContent-Length: -5\r\n\r\n") == Outcome{400, true});
    CHECK(status_and_end(bench, "POST /a HTTP/1.1\r\nContent-Length: 5\r\nContent-Length: 6\r\n\r\nhello") == Outcome{400, true});
    CHECK(status_and_end(bench, "GET /refused HTTP/1.1\r\n\r\n") == Outcome{403, true});
    CHECK(status_and_end(bench, "GET /throws HTTP/1.1\r\n\r\n") == Outcome{500, true});
    CHECK(status_and_end(bench, "GET /broken HTTP/1.1\r\nConnection: close\r\n\r\n") == Outcome{500, true});
    CHECK(status_and_end(bench, "GET /a HTTP/1.0\r\n\r\n") == Outcome{200, true});
    std::string most = "GET /a HTTP/1.1\r\nConnection: close\r\n";
    for (int i = 0; i < 99; ++i) most += "A: b\r\n";
    CHECK(status_and_end(bench, most + "\r\n") == Outcome{200, true});
}

TEST_CASE("a header, a body and the wait for a request have their time, however the bytes drip") {
    const Bench bench({.time_for_header = std::chrono::seconds(1)});
    using Outcome = std::pair<int, bool>;
    CHECK(status_and_end(bench, "GET /a HTTP/1.1\r\nA: b") == Outcome{408, true});
    CHECK(status_and_end(bench, "POST /a HTTP/1.1\r\nContent-Length: 10\r\n\r\nhello") == Outcome{408, true});
    CHECK(bench.wire().ends());
    Wire dripping = bench.wire();
    while (dripping.say("G")) std::this_thread::sleep_for(std::chrono::milliseconds(50));
    CHECK(bench.asked("/a")->hear()->status == 200);
}

TEST_CASE("bodies that are held at one time are bounded, and what is read of one is given back") {
    const Bench bench;
    CHECK(bench.wire().say("POST /a HTTP/1.1\r\nContent-Length: 900\r\n\r\nhello"));
    for (int i = 0; i < 50; ++i) bench.settle();  // it is gone, and what was held for it is given back
    Wire held = bench.wire();
    CHECK(held.say("POST /a HTTP/1.1\r\nContent-Length: 900\r\nExpect: 100-continue\r\n\r\n"));
    bench.settle();
    using Outcome = std::pair<int, bool>;
    CHECK(status_and_end(bench, "POST /a HTTP/1.1\r\nContent-Length: 900\r\n\r\n") == Outcome{503, true});
    CHECK(held.say(std::string(900, 'x')));
    CHECK(held.hear()->body == "/a" + std::string(900, 'x'));
    CHECK(status_and_end(bench, http_request("POST", "/a", {{"Connection", "close"}}, std::string(900, 'y'))) ==
          Outcome{200, true});
}

TEST_CASE("HEAD is answered with the header alone") {
    const Bench bench;
    Wire wire = bench.wire();
    CHECK(wire.say(http_request("HEAD", "/a", {}) + http_request("GET", "/b", {{"Connection", "close"}})));
    const auto head = wire.hear(true);
    REQUIRE(head);
    CHECK(head->field("content-length") == "2");
    CHECK(wire.hear()->body == "/b");
    CHECK(wire.ends());
}

TEST_CASE("where there is no room the oldest connection without the token makes it") {
    const Bench bench({.most_connections = 4});
    Wire known = bench.wire();
    CHECK(known.say(http_request("GET", "/token", {})));
    CHECK(known.hear()->status == 200);
    std::vector<std::unique_ptr<Wire>> silent;
    for (int i = 0; i < 40; ++i) {
        silent.push_back(std::make_unique<Wire>(bench.port()));
        CHECK(bench.asked("/a")->hear()->status == 200);
    }
    CHECK(silent.front()->ends());
    CHECK(known.say(http_request("GET", "/token", {})));
    CHECK(known.hear()->status == 200);
}

TEST_CASE("a stop waits for nobody who says nothing, and for no work beyond its time") {
    Bench bench;
    const auto begun = bench.asked("/wait"), queued = bench.asked("/wait");
    const Wire silent = bench.wire();
    CHECK(silent.say("GET / HT"));
    bench.wait_for_begun(1);
    bench.settle();
    bench.stop();  // returns though the work goes on
    CHECK(bench.begun() == 1);
    CHECK_THROWS_AS(bench.wire(), std::runtime_error);
}

TEST_CASE("what is worked out when a stop comes is still answered") {
    Bench bench;
    const auto begun = bench.asked("/wait");
    bench.wait_for_begun(1);
    std::thread stopping([&] { bench.stop(); });
    bench.let_go();
    const auto answer = begun->hear();
    stopping.join();
    REQUIRE(answer);
    CHECK(answer->body == "/wait");
}

TEST_CASE("an answer that goes on tells what is new until there is nothing more") {
    Bench bench;
    const auto wire = bench.asked("/goes-on");
    const auto head = wire->hear();
    REQUIRE(head);
    CHECK(head->status == 200);
    CHECK(head->count("content-length") == 0);
    CHECK(head->field("connection") == "close");
    CHECK(head->field("x-content-type-options") == "nosniff");
    CHECK(wire->hear_to("beat 2\n") == "begins\nbeat 1\nbeat 2\n");
    CHECK(wire->say("nothing that is said now is heard"));
    CHECK(wire->hear_to("beat 3\n"));
    bench.settle();  // others are answered meanwhile
    bench.let_go();
    CHECK_FALSE(wire->hear_to("no such thing"));
}

TEST_CASE("answers that go on are bounded, and who goes makes room for another") {
    Bench bench;
    std::vector<std::unique_ptr<Wire>> looking;
    for (std::size_t i = 0; i < kMostGoingOn; ++i) {
        looking.push_back(bench.asked("/goes-on"));
        const auto head = looking.back()->hear();
        REQUIRE(head);
        CHECK(head->status == 200);
    }
    const auto refused = bench.asked("/goes-on")->hear();
    REQUIRE(refused);
    CHECK(refused->status == 503);
    looking.pop_back();
    looking.front()->say_no_more();  // gone, too: whoever looks on still listens
    int status = 503;
    for (int tries = 0; status != 200 && tries < 100; ++tries) {
        bench.settle();
        looking.push_back(bench.asked("/goes-on"));
        const auto head = looking.back()->hear();
        REQUIRE(head);
        status = head->status;
    }
    CHECK(status == 200);
}

TEST_CASE("a stop does not wait for answers that go on, and nobody is asked for more who is gone") {
    Bench bench;
    {
        const auto wire = bench.asked("/goes-on");
        REQUIRE(wire->hear_to("beat 1\n"));
    }
    bench.settle();
    const auto other = bench.asked("/goes-on");
    REQUIRE(other->hear_to("beat 2\n"));
    const int before = bench.asked_for_more();
    REQUIRE(other->hear_to("beat 4\n"));
    CHECK(bench.asked_for_more() - before <= 3);  // of both it would be 4
    bench.stop();
    CHECK_FALSE(other->hear_to("no such thing"));
}
