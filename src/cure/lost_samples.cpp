#include "lost_samples.hpp"

#include <algorithm>

#include "bakewright/cure/judge.hpp"
#include "bakewright/cure/readings.hpp"

namespace bakewright::cure {
namespace {

/// A trace that never rose where it was seen still gets a rate, so that its gaps can be filled.
constexpr double kLeastRateKPerS = 1e-6;

/// The steepest rise or fall; infinite where the trace is too short to show one.
double rate_or_infinite(const std::optional<RiseReading>& reading) {
    return reading ? std::max(reading->rate_k_per_s, kLeastRateKPerS) : std::numeric_limits<double>::infinity();
}

bool lost_before_matters(const JoinedTrace& joined, double fall_k_per_s, double warm_k) {
    const double lost_s = joined.gaps().lost_before_s;
    const double first_k = joined.temperature_k().front();
    // Below warm at the first sample: it was still cold when the probe came on.
    return lost_s > kLongestBridgedGapS && first_k >= warm_k && first_k + fall_k_per_s * lost_s >= warm_k;
}

bool lost_after_matters(const JoinedTrace& joined, double rise_k_per_s, double warm_k) {
    const double lost_s = joined.gaps().lost_after_s;
    if (lost_s <= kLongestBridgedGapS) return false;
    const double last_k = joined.temperature_k().back();
    const bool cooled_down = last_k < warm_k && peak(joined)->temperature_k >= warm_k;
    return !cooled_down && last_k + rise_k_per_s * lost_s >= warm_k;
}

}  // namespace

LostSamples::LostSamples(const Trace& trace, const JoinedTrace& joined, double warm_k) {
    if (joined.gaps() == Gaps{} || joined.size() == 0) return;
    const double rise_k_per_s = rate_or_infinite(steepest_rise(joined, kHeatingRateSpanS));
    const double fall_k_per_s = rate_or_infinite(steepest_fall(joined, kHeatingRateSpanS));
    ends_open_ = lost_before_matters(joined, fall_k_per_s, warm_k) || lost_after_matters(joined, rise_k_per_s, warm_k);
    if (joined.gaps().open_s > 0.0) look_at_gaps(trace, rise_k_per_s, fall_k_per_s, warm_k);
}

void LostSamples::look_at_gaps(const Trace& trace, double rise_k_per_s, double fall_k_per_s, double warm_k) {
    if (!(rise_k_per_s < std::numeric_limits<double>::infinity() && fall_k_per_s < std::numeric_limits<double>::infinity())) {
        ends_open_ = true;
        return;
    }
    hottest_ = with_hottest_gaps(trace, rise_k_per_s, fall_k_per_s);
    has_open_gap_ = peak(hottest_)->temperature_k >= warm_k;
}

}  // namespace bakewright::cure
