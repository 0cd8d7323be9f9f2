// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <chrono>
#include <cstddef>
#include <functional>
#include <optional>
#include <string>

#include "http_text.hpp"
#include "route.hpp"

namespace bakewright::page {

struct Certificate;

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

/// An answer that goes on is asked so often for what is new.
inline constexpr std::chrono::milliseconds kBeat{500};
/// Of answers that go on, at one time; further ones are answered with 503.
inline constexpr std::size_t kMostGoingOn = 16;

/// Of requests that wait for the pool; further ones are answered with 503. Slow work has half of the pool and the queue at most.
inline constexpr std::size_t kLongestQueue = 8;

}  // namespace bakewright::page
