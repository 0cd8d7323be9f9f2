// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <condition_variable>
#include <cstddef>
#include <deque>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

#include "bakewright/report/live.hpp"

namespace bakewright::cli {

/// Runs the user's program for each warning, one after the other, on a thread of its own: without a shell, with nothing on its
/// standard input, and no longer than kTimeoutS. It is told "raised" or "cleared", the kind, the subject and the sentence, as
/// four arguments. What it answers changes nothing; that it failed is told once on standard error.
class WarningCommand {
public:
    /// @param program  a file, or a name that is found on the path; empty: nothing is ever run
    explicit WarningCommand(std::string program);
    /// Waits for the one at hand, at most kTimeoutS; those that wait are let go.
    ~WarningCommand();
    WarningCommand(const WarningCommand&) = delete;
    WarningCommand& operator=(const WarningCommand&) = delete;

    void run_for(const report::LiveWarning& warning);

    static constexpr double kTimeoutS = 10.0;
    static constexpr std::size_t kMostWaiting = 100;  ///< beyond it the oldest are let go

private:
    void work(const std::stop_token& stop);
    void run(const std::vector<std::string>& words);
    void fail(const std::string& how);

    std::string program_;
    bool has_failed_ = false;
    std::mutex mutex_;
    std::condition_variable_any came_;
    std::deque<std::vector<std::string>> waiting_;
    std::jthread thread_;
};

}  // namespace bakewright::cli
