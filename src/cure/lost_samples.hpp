#pragma once

#include "bakewright/cure/joined_trace.hpp"

namespace bakewright::cure {

/// What may have happened while a probe gave nothing, told by the steepest rise and fall it showed elsewhere.
class LostSamples {
public:
    /// @param warm_k  what happens below it does not matter
    LostSamples(const Trace& trace, const JoinedTrace& joined, double warm_k);

    /// Nothing that matters can have been missed.
    [[nodiscard]] bool nothing() const noexcept { return !ends_open_ && !has_open_gap_; }
    /// It was lost before the first or after the last usable sample, while warm or on the way there: no bound can be given.
    [[nodiscard]] bool without_bound() const noexcept { return ends_open_; }
    /// The trace as hot as it may have been in its open gaps.
    [[nodiscard]] const Trace& hottest() const noexcept { return hottest_; }

private:
    void look_at_gaps(const Trace& trace, double rise_k_per_s, double fall_k_per_s, double warm_k);

    bool ends_open_ = false;
    bool has_open_gap_ = false;
    Trace hottest_;
};

}  // namespace bakewright::cure
