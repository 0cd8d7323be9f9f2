#pragma once

#include <chrono>
#include <mutex>
#include <string>
#include <string_view>

namespace bakewright::page {

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
