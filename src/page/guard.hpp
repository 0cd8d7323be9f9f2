// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <chrono>
#include <mutex>
#include <string>
#include <string_view>

namespace bakewright::page {

/// Who may ask. All functions are pure, so that tests reach them without a socket.
/// 128 bits from the operating system as 32 hexadecimal digits.
[[nodiscard]] std::string new_token();

/// Compares without telling by its time where two texts differ; their lengths are no secret.
[[nodiscard]] bool equal_in_constant_time(std::string_view one, std::string_view other) noexcept;

/// The value of a cookie in a Cookie header; empty where there is none.
[[nodiscard]] std::string cookie_value(std::string_view header, std::string_view name);

/// Whether a Host header names this server: an address in digits, "localhost" or the host that was asked for, with our port. A
/// name that somebody else lets point to this machine is refused (DNS rebinding); nobody else can make an address do so.
[[nodiscard]] bool is_our_host(std::string_view header, std::string_view asked_host, int port);

/// Whether an Origin header belongs to a page of this server. An absent one (empty) does: scripts send none.
/// @param scheme  "http" or "https"
[[nodiscard]] bool is_our_origin(std::string_view origin, std::string_view scheme, std::string_view host_header);

/// Whether a Sec-Fetch-Site header lets the request in: absent, "same-origin" or "none".
[[nodiscard]] bool is_our_site(std::string_view header) noexcept;

/// Whether a host is an IPv4 or IPv6 address in digits.
[[nodiscard]] bool is_address(const std::string& host);

/// "[::1]" as "::1"; any other as it is.
[[nodiscard]] std::string without_brackets(std::string_view host);

/// The code in the address that opens the page: it works once and for ten minutes, and the next one takes its place. What a
/// browser's history keeps of it opens nothing. Any thread may call.
class OpeningCode {
public:
    using Clock = std::chrono::steady_clock;
    static constexpr std::chrono::minutes kGoodFor{10};

    /// A new code; the one before works no more.
    [[nodiscard]] std::string renew(Clock::time_point now = Clock::now());
    /// Whether this is the code; it works no more then.
    [[nodiscard]] bool spend(std::string_view code, Clock::time_point now = Clock::now());

private:
    std::mutex mutex_;
    std::string code_{};  ///< empty: there is none
    Clock::time_point made_at_{};
};

}  // namespace bakewright::page
