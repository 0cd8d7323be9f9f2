// SPDX-License-Identifier: Apache-2.0
#include "source_clock.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace bakewright::record {
namespace {

constexpr double kFarS = 60.0;      ///< a told time that lies so far off is no delay
constexpr double kWindowS = 600.0;  ///< in which the least delay is looked for
constexpr double kFollow = 0.1;     ///< share of the time by which an offset follows
constexpr double kToldS = 1.0;      ///< a change worth telling

}  // namespace

void SourceClock::put(SourceRow row, std::vector<TimedRow>& timed) const {
    const double time_s = row.told_s ? *row.told_s + *offset_s_ : row.arrived_s;
    timed.push_back({time_s, std::move(row)});
}

void SourceClock::release(std::vector<TimedRow>& timed) {
    if (held_) put(*std::exchange(held_, std::nullopt), timed);
}

void SourceClock::take(std::vector<SourceRow> rows, std::vector<TimedRow>& timed, std::vector<Change>& changes) {
    if (!offset_s_) {
        for (const SourceRow& row : rows)
            if (row.told_s)
                offset_s_ = std::min(offset_s_.value_or(std::numeric_limits<double>::infinity()), row.arrived_s - *row.told_s);
        if (offset_s_) {
            told_offset_s_ = *offset_s_;
            window_from_s_ = rows.front().arrived_s;
        }
    }
    for (SourceRow& row : rows) take_one(std::move(row), timed, changes);
}

void SourceClock::take_one(SourceRow row, std::vector<TimedRow>& timed, std::vector<Change>& changes) {
    if (!row.told_s || is_steady_) return put(std::move(row), timed);
    if (to_follow_s_ != 0.0 && last_told_s_) {
        const double most_s = kFollow * std::abs(*row.told_s - *last_told_s_);
        const double step_s = std::clamp(to_follow_s_, -most_s, most_s);
        *offset_s_ += step_s;
        to_follow_s_ -= step_s;
    }
    const double late_s = row.arrived_s - (*row.told_s + *offset_s_);
    if (late_s > kFarS) return take_far(std::move(row), late_s, timed, changes);
    release(timed);
    if (late_s < 0.0) *offset_s_ += late_s;  // nothing comes before its time
    if (late_s < -kFarS) {
        changes.push_back({row.arrived_s, -late_s, true});
        told_offset_s_ = *offset_s_;
        first_.reset();
        window_from_s_ = row.arrived_s;
        window_least_s_ = 0.0;
    }
    window_least_s_ = std::min(window_least_s_, std::max(late_s, 0.0));
    last_told_s_ = row.told_s;
    const double arrived_s = row.arrived_s;
    put(std::move(row), timed);
    if (arrived_s - window_from_s_ >= kWindowS) end_window(arrived_s, changes);
}

/// Late from a memory, or a clock that was set back: the pace tells.
void SourceClock::take_far(SourceRow row, double late_s, std::vector<TimedRow>& timed, std::vector<Change>& changes) {
    if (!held_) {
        held_ = std::move(row);
        return;
    }
    const double told_s = *row.told_s - *held_->told_s, came_s = row.arrived_s - held_->arrived_s;
    if (told_s > 0.0 && came_s >= 0.5 * told_s) {
        *offset_s_ += late_s;
        changes.push_back({row.arrived_s, -late_s, true});
        told_offset_s_ = *offset_s_;
        to_follow_s_ = 0.0;
        first_.reset();
        window_from_s_ = row.arrived_s;
        window_least_s_ = 0.0;
        last_told_s_ = row.told_s;
        release(timed);
        return put(std::move(row), timed);
    }
    release(timed);
    held_ = std::move(row);
}

void SourceClock::end_window(double arrived_s, std::vector<Change>& changes) {
    to_follow_s_ = window_least_s_;
    last_ = Envelope{arrived_s, *offset_s_ + window_least_s_};
    if (!first_) first_ = last_;
    if (std::abs(last_->offset_s - told_offset_s_) >= kToldS) {
        changes.push_back({arrived_s, told_offset_s_ - last_->offset_s, false});
        told_offset_s_ = last_->offset_s;
    }
    window_from_s_ = arrived_s;
    window_least_s_ = std::numeric_limits<double>::infinity();
}

std::optional<double> SourceClock::gain_s_per_h() const {
    if (!first_ || !last_ || last_->time_s - first_->time_s < kWindowS) return std::nullopt;
    return -3600.0 * (last_->offset_s - first_->offset_s) / (last_->time_s - first_->time_s);
}

}  // namespace bakewright::record
