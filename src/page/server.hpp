// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <memory>
#include <string>

#include "bakewright/page/server_options.hpp"

namespace bakewright::page {

/// The local page: a web server for one shop's computer. Every request names this server in its Host, comes from no other site
/// and needs the token of this run: as `Authorization: Bearer`, or as a cookie that is given for the code of an opening address.
/// What it answers is in docs/page.md.
class Server {
public:
    /// Binds at once. @throws InputError for options out of range, a certificate that is none, or an address that the network
    /// reaches without TLS; FileError where the port is taken or a file cannot be read
    explicit Server(ServerOptions options);
    /// Waits for work that was begun.
    ~Server();
    Server(const Server&) = delete;
    Server& operator=(const Server&) = delete;

    /// "http://127.0.0.1:8123/open#...": whoever opens it first has the page. Good for ten minutes, or until another is made.
    [[nodiscard]] std::string new_address();
    [[nodiscard]] int port() const noexcept;
    [[nodiscard]] const std::string& token() const noexcept;
    /// Whether others on the network can reach it.
    [[nodiscard]] bool is_open_to_network() const noexcept;
    /// SHA-256 of the certificate, as browsers show it; empty without TLS.
    [[nodiscard]] const std::string& certificate_fingerprint() const noexcept;

    /// Answers until stop() is called.
    void run();
    /// Ends run() within a second and asks long work to end. May be called from any thread, more than once.
    void stop();

private:
    struct State;
    std::unique_ptr<State> state_;
};

}  // namespace bakewright::page
