// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/record/inbox.hpp"

namespace bakewright::record {

/// Brings the times that one source tells by its own clock onto the clock of the recording.
///
/// A row comes a delay after its own time, never before it: the offset between the clocks is the least difference seen between
/// arrival and told time. Where that least difference grows or shrinks over ten minutes, one clock gains on the other: the offset
/// follows, by at most a tenth of the time that passes, so that no time goes back. A told time that lies more than a minute off
/// is a clock that was set, unless rows come much faster than they tell: then they are late, from a memory that is read out. A
/// minute, ten minutes and a tenth are choices of our own.
class SourceClock {
public:
    /// @param is_steady  its clock is the recording's own, such as that of a replay: the first offset holds
    explicit SourceClock(bool is_steady = false) : is_steady_(is_steady) {}

    struct TimedRow {
        double time_s = 0.0;  ///< on the clock of the recording
        SourceRow row{};
    };
    struct Change {
        double time_s = 0.0;   ///< when it was noticed, on the clock of the recording
        double by_s = 0.0;     ///< what the source's clock was set or gained by; below 0: back, or lost
        bool is_step = false;  ///< it was set; else it gained or lost that since the last change
    };

    /// Rows that were read together; arrived_s is on the clock of the recording here. One whose time cannot be told yet is held
    /// until the next.
    void take(std::vector<SourceRow> rows, std::vector<TimedRow>& timed, std::vector<Change>& changes);
    /// The row that is held, as one that came late.
    void release(std::vector<TimedRow>& timed);
    /// What it gains on the recording's clock in an hour, from twenty minutes on [s/h].
    [[nodiscard]] std::optional<double> gain_s_per_h() const;

private:
    void take_one(SourceRow row, std::vector<TimedRow>& timed, std::vector<Change>& changes);
    void take_far(SourceRow row, double late_s, std::vector<TimedRow>& timed, std::vector<Change>& changes);
    void put(SourceRow row, std::vector<TimedRow>& timed) const;
    void end_window(double arrived_s, std::vector<Change>& changes);

    struct Envelope {
        double time_s = 0.0, offset_s = 0.0;
    };
    bool is_steady_;
    std::optional<double> offset_s_{};  ///< recording's time less told time
    std::optional<double> last_told_s_{};
    std::optional<SourceRow> held_{};
    double to_follow_s_ = 0.0;  ///< what the offset has still to follow by
    double window_from_s_ = 0.0, window_least_s_ = std::numeric_limits<double>::infinity();
    std::optional<Envelope> first_{}, last_{};
    double told_offset_s_ = 0.0;  ///< offset when a change was last told
};

}  // namespace bakewright::record
