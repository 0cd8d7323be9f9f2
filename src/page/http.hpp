// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <memory>

#include "http_options.hpp"

namespace bakewright::page {

class HttpLoop;

/// HTTP/1.1 over TCP or TLS: one loop, a bounded pool that works out the answers, and a bound for everything a client may take. A
/// header has at most 16 KiB and 100 fields. Every answer, also to what is no request, bears the headers that docs/page.md names.
class Http {
public:
    /// Listens at once. @throws InputError for an address that the network reaches, without a certificate; FileError where the
    /// port is taken or the address is not this machine's
    Http(const HttpOptions& options, Front front);
    /// Waits for answers that are being worked out.
    ~Http();
    Http(const Http&) = delete;
    Http& operator=(const Http&) = delete;

    [[nodiscard]] int port() const noexcept;
    [[nodiscard]] bool is_open_to_network() const noexcept;

    /// Answers until stop() is called.
    void run();
    /// From any thread. run() returns at once, or where answers are under way after these, but within a second.
    void stop();

private:
    std::unique_ptr<HttpLoop> loop_;
};

}  // namespace bakewright::page
