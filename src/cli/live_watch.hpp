// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <atomic>
#include <chrono>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "bakewright/base/work.hpp"
#include "bakewright/book/book.hpp"
#include "bakewright/record/recorder.hpp"
#include "bakewright/report/live.hpp"
#include "bakewright/services/live.hpp"
#include "bakewright/services/live_seconds.hpp"
#include "warning_command.hpp"

namespace bakewright::cli {

/// Watches a recording: once a minute of it the log so far is estimated and foretold, on a thread of its own, so that no reading
/// waits, and each second it moves with what was read since. Warnings are written down beside the log and given to the user's
/// program.
class LiveWatch {
public:
    /// @param program  for warnings; empty: none
    LiveWatch(services::LiveOptions options, const std::string& program);
    ~LiveWatch();

    /// To be told by the recorder, as its observer: every reading, also of a book that refuses them.
    void hear(std::span<const book::RecordedSample> samples, const std::vector<record::ChannelStatus>& channels);
    /// To be called after each step of the recorder, from its thread. Begins an update where one is due.
    /// @return whether a new state is there
    bool follow(record::Recorder& recorder, book::Book& book, const record::RecorderStatus& status);
    /// One more update, of all that is kept, when the sources have ended by themselves. Waits for it and the one at hand, whose
    /// changes stand before its own. @return as follow()
    bool follow_to_end(record::Recorder& recorder, book::Book& book, const record::RecorderStatus& status);
    /// The newest state, moved to what was read since; nothing before the first.
    [[nodiscard]] const std::optional<report::LiveState>& state() const noexcept { return state_; }
    /// What the newest state raised or cleared.
    [[nodiscard]] const std::vector<report::LiveWarning>& changes() const noexcept { return changes_; }
    /// Waits for the update at hand. What was said at mid-hold; nothing where it never came to that.
    [[nodiscard]] std::optional<services::SaidAtMidHold> said();

private:
    void move();
    bool take(record::Recorder& recorder);
    void begin(book::Book& book, book::BakeId bake, double now_s);

    services::LiveOptions options_;
    std::unique_ptr<services::LiveBake> bake_;
    WarningCommand command_;
    std::optional<report::LiveState> state_;
    std::shared_ptr<services::LiveSeconds> seconds_;
    TraceSet recent_;
    std::chrono::steady_clock::time_point moved_at_{};
    std::vector<report::LiveWarning> changes_;
    std::optional<double> begun_at_s_;
    bool has_said_ = false;
    // What the thread fills: read once is_done_ says so.
    report::LiveState made_;
    std::atomic<bool> is_running_ = false, is_done_ = false;
    Background thread_;
};

}  // namespace bakewright::cli
