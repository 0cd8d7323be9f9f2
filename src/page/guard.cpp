// SPDX-License-Identifier: Apache-2.0
#include "guard.hpp"

#include <arpa/inet.h>
#include <fmt/core.h>

#include <array>
#include <random>

namespace bakewright::page {

std::string OpeningCode::renew(Clock::time_point now) {
    const std::lock_guard lock(mutex_);
    code_ = new_token();
    made_at_ = now;
    return code_;
}

bool OpeningCode::spend(std::string_view code, Clock::time_point now) {
    const std::lock_guard lock(mutex_);
    if (code_.empty() || !equal_in_constant_time(code, code_)) return false;
    code_.clear();
    return now - made_at_ <= kGoodFor;
}

bool is_address(const std::string& host) {
    std::array<unsigned char, sizeof(in6_addr)> bytes{};
    return ::inet_pton(AF_INET, host.c_str(), bytes.data()) == 1 || ::inet_pton(AF_INET6, host.c_str(), bytes.data()) == 1;
}

std::string without_brackets(std::string_view host) {
    if (host.size() > 2 && host.front() == '[' && host.back() == ']') host = host.substr(1, host.size() - 2);
    return std::string(host);
}

std::string new_token() {
    std::random_device entropy;
    std::string token;
    for (int i = 0; i < 4; ++i) token += fmt::format("{:08x}", entropy());
    return token;
}

bool equal_in_constant_time(std::string_view one, std::string_view other) noexcept {
    if (one.size() != other.size()) return false;
    volatile unsigned char differing = 0;
    for (std::size_t i = 0; i < one.size(); ++i)
        differing =
            static_cast<unsigned char>(differing | (static_cast<unsigned char>(one[i]) ^ static_cast<unsigned char>(other[i])));
    return differing == 0;
}

std::string cookie_value(std::string_view header, std::string_view name) {
    while (!header.empty()) {
        const std::size_t end = header.find(';');
        std::string_view pair = header.substr(0, end);
        header = end == std::string_view::npos ? std::string_view{} : header.substr(end + 1);
        while (!pair.empty() && pair.front() == ' ') pair.remove_prefix(1);
        const std::size_t equals = pair.find('=');
        if (equals != std::string_view::npos && pair.substr(0, equals) == name) return std::string(pair.substr(equals + 1));
    }
    return {};
}

bool is_our_host(std::string_view header, std::string_view asked_host, int port) {
    const std::string ending = fmt::format(":{}", port);
    if (!header.ends_with(ending)) return false;
    const std::string host = without_brackets(header.substr(0, header.size() - ending.size()));
    return host == "localhost" || (!host.empty() && host == without_brackets(asked_host)) || is_address(host);
}

bool is_our_origin(std::string_view origin, std::string_view scheme, std::string_view host_header) {
    return origin.empty() || origin == fmt::format("{}://{}", scheme, host_header);
}

bool is_our_site(std::string_view header) noexcept { return header.empty() || header == "same-origin" || header == "none"; }

}  // namespace bakewright::page
