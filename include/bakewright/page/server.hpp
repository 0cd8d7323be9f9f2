#pragma once

#include <memory>
#include <string>
#include <vector>

#include "bakewright/base/format.hpp"

namespace bakewright::page {

struct ServerOptions {
    std::string host = "127.0.0.1";                  ///< address to listen at; anything but loopback lets the network in
    int port = 0;                                    ///< 0: any that is free, up to 65535
    std::string book_path{};                         ///< made with the first change where there is none
    std::vector<std::string> profile_folders{};      ///< as profile::Library takes them
    std::string user_profile_folder{};               ///< where edited profiles are saved; empty: nowhere
    std::vector<std::string> old_profile_folders{};  ///< the shop's own too, from before; read only
    Units units{};                                   ///< that the page starts with
    std::string program_version{};
    std::size_t largest_upload_bytes = std::size_t{64} << 20;  ///< of a log; any other request may have a mebibyte
    int read_timeout_s = 5;                                    ///< 1 to 3600; of a client that sends nothing on
};

/// The local page: a web server for one shop's computer. Every request needs the token of this run, as a cookie that the first
/// opening sets or as `Authorization: Bearer`, names this server in its Host, and comes from no other site; what it answers is in
/// docs/page.md.
class Server {
public:
    /// Binds at once. @throws InputError for options out of range; FileError where the port is taken
    explicit Server(ServerOptions options);
    ~Server();
    Server(const Server&) = delete;
    Server& operator=(const Server&) = delete;

    /// "http://127.0.0.1:8123/?token=...": to be opened first. Whoever has it has the page.
    [[nodiscard]] std::string address() const;
    [[nodiscard]] int port() const noexcept;
    [[nodiscard]] const std::string& token() const noexcept;
    /// Whether others on the network can reach it.
    [[nodiscard]] bool is_open_to_network() const;

    /// Answers until stop() is called from another thread, or the socket fails.
    void run();
    /// Ends run() and cancels long work. May be called from any thread, more than once.
    void stop();

private:
    struct State;
    std::unique_ptr<State> state_;
};

}  // namespace bakewright::page
