#include "occupancy.hpp"

#include <algorithm>
#include <cmath>

namespace bakewright::cure {

Occupancy::Occupancy(const JoinedTrace& trace, double coldest_k) : coldest_k_(coldest_k) {
    double hottest_k = coldest_k;
    for (const double temperature_k : trace.temperature_k()) hottest_k = std::max(hottest_k, temperature_k);
    time_s_.assign(static_cast<std::size_t>((hottest_k - coldest_k) / kStepK) + 1, 0.0);
    time_k_s_ = time_s_;
    for (const JoinedTrace::Run& run : trace.runs()) for_each_segment(trace, run, [&](const Segment& segment) { add(segment); });
}

void Occupancy::add_at(double temperature_k, double time_s) {
    const double above_k = temperature_k - coldest_k_;
    const std::size_t step = std::min(static_cast<std::size_t>(above_k * (1.0 / kStepK)), time_s_.size() - 1);
    time_s_[step] += time_s;
    time_k_s_[step] += time_s * above_k;
}

/// A straight line spends its time evenly over the temperatures it passes.
void Occupancy::add(const Segment& segment) {
    const double low_k = std::min(segment.from_k, segment.until_k);
    const double high_k = std::max(segment.from_k, segment.until_k);
    if (high_k < coldest_k_) return;
    if (high_k - low_k < kShortLineK) {
        if (const double middle_k = 0.5 * (low_k + high_k); middle_k >= coldest_k_) add_at(middle_k, segment.duration_s());
        return;
    }
    const double per_k = segment.duration_s() / (high_k - low_k);
    for (double at_k = std::max(low_k, coldest_k_); at_k < high_k;) {
        const double edge_k = coldest_k_ + kStepK * (std::floor((at_k - coldest_k_) / kStepK + 1e-9) + 1.0);
        const double until_k = std::min(edge_k, high_k);
        add_at(0.5 * (at_k + until_k), per_k * (until_k - at_k));
        at_k = until_k;
    }
}

double Occupancy::dose(const RequiredTime& required, double offset_k) const {
    double dose = 0.0;
    for (std::size_t i = 0; i < time_s_.size(); ++i)
        if (time_s_[i] > 0.0) dose += time_s_[i] * required.rate_per_s(coldest_k_ + time_k_s_[i] / time_s_[i] + offset_k);
    return dose;
}

}  // namespace bakewright::cure
