// SPDX-License-Identifier: Apache-2.0
#include "http_text.hpp"

#include <doctest/doctest.h>

using namespace bakewright::page;

TEST_CASE("an answer's head tells status, type, length, whether it is the last, and what a browser may do with it") {
    const std::string head = head_text({.status = 409, .type = "a/b", .text = "four", .headers = {{"Set-Cookie", "c"}}}, true);
    CHECK(head.starts_with("HTTP/1.1 409 Conflict\r\nContent-Type: a/b\r\nContent-Length: 4\r\nConnection: close\r\n"));
    CHECK(head.ends_with("Set-Cookie: c\r\n\r\n"));
    for (const char* name : {"Content-Security-Policy", "X-Content-Type-Options", "Referrer-Policy", "Cross-Origin-Opener-Policy",
                             "Cross-Origin-Resource-Policy", "Cache-Control"})
        CHECK(head.find(std::string("\r\n") + name + ": ") != std::string::npos);
    CHECK(head_text(plain_answer(418, ""), false).starts_with("HTTP/1.1 418 Answer\r\n"));
}

TEST_CASE("a header of the answer's own takes the place of the usual one") {
    const std::string head = head_text({.text = "", .headers = {{"Content-Security-Policy", "sandbox"}}}, false);
    CHECK(head.find("Content-Security-Policy: sandbox\r\n") != std::string::npos);
    CHECK(head.find("default-src") == std::string::npos);
}

TEST_CASE("a field is found by its name in small letters") {
    const Head head{.method = "GET", .target = "/", .fields = {{"a", "1"}, {"b", "2"}, {"a", "3"}}};
    CHECK(head.field("a") == "1");
    CHECK(head.count("a") == 2);
    CHECK(head.field("c").empty());
    CHECK(head.count("c") == 0);
}
