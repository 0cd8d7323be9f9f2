// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>

namespace bakewright::page {

struct Context;

/// What the windows see that look at bakes while they are recorded: the book is looked at once a second by one thread for all
/// of them, which works while somebody looks. Any thread may call.
class LiveDesk {
public:
    explicit LiveDesk(const Context& context);
    /// Ends the thread; waits for an update at hand.
    ~LiveDesk();
    LiveDesk(const LiveDesk&) = delete;
    LiveDesk& operator=(const LiveDesk&) = delete;

    /// For one window: what is new since it asked last, as Server-sent events (HTML Living Standard, 9.2); the first time all
    /// that is known. "recordings": which there are; "view": one of them, as it was made anew; "reading": its newest readings.
    /// Takes no longer than to copy, and waits for nobody.
    [[nodiscard]] std::function<std::optional<std::string>()> window();

private:
    class Followed;
    struct State;
    std::shared_ptr<State> state_;
};

}  // namespace bakewright::page
