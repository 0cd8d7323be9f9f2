#pragma once

#include <chrono>
#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "route.hpp"

namespace bakewright::page {

struct Certificate;
class HttpLoop;

/// All of a request that is known before its body is read.
struct Head {
    std::string method;                                         ///< as sent
    std::string target;                                         ///< path and query, as sent
    std::vector<std::pair<std::string, std::string>> fields{};  ///< names in small letters, in the order sent
    std::optional<std::uint64_t> body_bytes{};                  ///< its Content-Length

    [[nodiscard]] std::size_t count(std::string_view name) const;
    [[nodiscard]] std::string field(std::string_view name) const;  ///< the first of that name; empty where there is none
};

/// What becomes of a request whose head was read.
struct Admission {
    std::optional<Answer> refusal{};                 ///< sent at once; the body is not read and the connection closes
    std::function<Answer(std::string body)> work{};  ///< otherwise: makes the answer, on any thread
    bool bears_token = false;                        ///< its connection is not closed to make room for others
    Pace pace = Pace::usual;                         ///< quick: worked out by the loop itself, past the queue
};

/// Decides on a request, on the loop's thread. What it or the work throws becomes an answer with status 500.
using Front = std::function<Admission(const Head&)>;

struct HttpOptions {
    std::string host{};
    int port = 0;                              ///< 0: any that is free
    const Certificate* certificate = nullptr;  ///< TLS where there is one
    std::chrono::seconds time_for_header{5};   ///< from its first byte; a body and an answer have what their length takes beyond
    std::size_t largest_bodies_bytes = 0;      ///< of all bodies that are held at one time
    std::size_t workers = 0;                   ///< 0: one a core, 4 to 8
    std::size_t most_connections = 0;          ///< 0: 256, or less where the system lets us open fewer files
};

/// HTTP/1.1 over TCP or TLS: one loop, a bounded pool that works out the answers, and a bound for everything a client may take. A
/// header has at most 16 KiB and 100 fields. Every answer, also to what is no request, bears the headers that docs/page.md names.
class Http {
public:
    /// Of requests that wait for the pool; further ones are answered with 503. Slow work has half of the pool and the queue at
    /// most.
    static constexpr std::size_t kLongestQueue = 8;

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

/// Answers as text of HTTP/1.1.
/// The status line and every header, up to the empty line. @param closes  whether the connection closes after it
[[nodiscard]] std::string head_text(const Answer& answer, bool closes);

/// A sentence for whoever asks wrongly.
[[nodiscard]] Answer plain_answer(int status, std::string_view words);

/// Status 503, to be asked again in a second: nothing of the work was begun.
[[nodiscard]] Answer busy_answer(std::string_view words);

}  // namespace bakewright::page
