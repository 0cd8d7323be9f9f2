// SPDX-License-Identifier: Apache-2.0
#include "guard.hpp"

#include <doctest/doctest.h>

#include <set>

using namespace bakewright::page;

TEST_CASE("a token is 128 bits in small hexadecimal digits, another one each time") {
    std::set<std::string> seen;
    for (int i = 0; i < 100; ++i) {
        const std::string token = new_token();
        CHECK(token.size() == 32);
        CHECK(token.find_first_not_of("0123456789abcdef") == std::string::npos);
        seen.insert(token);
    }
    CHECK(seen.size() == 100);
}

TEST_CASE("tokens are compared whole") {
    CHECK(equal_in_constant_time("abc", "abc"));
    CHECK(equal_in_constant_time("", ""));
    CHECK_FALSE(equal_in_constant_time("abc", "abd"));
    CHECK_FALSE(equal_in_constant_time("abc", "ab"));
    CHECK_FALSE(equal_in_constant_time("", "a"));
}

TEST_CASE("a cookie is found by its whole name") {
    CHECK(cookie_value("bakewright_80=abc", "bakewright_80") == "abc");
    CHECK(cookie_value("a=1; bakewright_80=abc; b=2", "bakewright_80") == "abc");
    CHECK(cookie_value("xbakewright_80=abc", "bakewright_80").empty());
    CHECK(cookie_value("bakewright_8=abc", "bakewright_80").empty());
    CHECK(cookie_value("", "bakewright_80").empty());
    CHECK(cookie_value(";;;=;", "bakewright_80").empty());
}

TEST_CASE("a name that somebody else may point at this machine is not ours") {
    CHECK(is_our_host("127.0.0.1:8080", "127.0.0.1", 8080));
    CHECK(is_our_host("localhost:8080", "127.0.0.1", 8080));
    CHECK(is_our_host("[::1]:8080", "::1", 8080));
    CHECK(is_our_host("192.168.1.20:8080", "0.0.0.0", 8080));
    CHECK(is_our_host("booth-computer:8080", "booth-computer", 8080));
    CHECK_FALSE(is_our_host("attacker.example:8080", "127.0.0.1", 8080));
    CHECK_FALSE(is_our_host("127.0.0.1.attacker.example:8080", "127.0.0.1", 8080));
    CHECK_FALSE(is_our_host("127.0.0.1:8081", "127.0.0.1", 8080));
    CHECK_FALSE(is_our_host("127.0.0.1", "127.0.0.1", 8080));
    CHECK_FALSE(is_our_host(":8080", "127.0.0.1", 8080));
    CHECK_FALSE(is_our_host("", "127.0.0.1", 8080));
}

TEST_CASE("an origin must be this very server") {
    CHECK(is_our_origin("", "http", "127.0.0.1:8080"));
    CHECK(is_our_origin("http://127.0.0.1:8080", "http", "127.0.0.1:8080"));
    CHECK(is_our_origin("https://127.0.0.1:8080", "https", "127.0.0.1:8080"));
    CHECK_FALSE(is_our_origin("null", "http", "127.0.0.1:8080"));
    CHECK_FALSE(is_our_origin("https://127.0.0.1:8080", "http", "127.0.0.1:8080"));
    CHECK_FALSE(is_our_origin("http://127.0.0.1:8080", "https", "127.0.0.1:8080"));
    CHECK_FALSE(is_our_origin("http://127.0.0.1:9090", "http", "127.0.0.1:8080"));
    CHECK(is_our_site(""));
    CHECK(is_our_site("none"));
    CHECK(is_our_site("same-origin"));
    CHECK_FALSE(is_our_site("same-site"));
    CHECK_FALSE(is_our_site("cross-site"));
}

TEST_CASE("an address of version 6 stands in brackets where a port follows") {
    CHECK(without_brackets("[::1]") == "::1");
    CHECK(without_brackets("::1") == "::1");
    CHECK(without_brackets("[]") == "[]");
    for (const char* address : {"127.0.0.1", "::1", "fe80::1"}) CHECK(is_address(address));
    for (const char* name : {"localhost", "127.attacker.example", "[::1]", ""}) CHECK_FALSE(is_address(name));
}
