#include "bakewright/tune/compare.hpp"

#include <algorithm>
#include <cmath>

#include "difference.hpp"
#include "lag.hpp"

namespace bakewright::tune {
namespace {

constexpr double kLongestLag_s = 20.0 * 60.0;

}  // namespace

std::optional<ChannelComparison> compare_channel(const Trace& predicted, const Trace& logged) {
    if (predicted.usable_samples().size() < 2) return {};
    const std::vector<LoggedPoint> points = in_common_time(logged_points(logged), predicted);
    const DifferenceStatistics unshifted = difference(predicted, points);
    if (unshifted.samples < 2 || unshifted.joined_s <= 0.0) return {};
    ChannelComparison out;
    out.predicted = predicted.name;
    out.logged = logged.name;
    out.role = predicted.role;
    out.from_s = unshifted.from_s;
    out.to_s = unshifted.to_s;
    out.samples = unshifted.samples;
    out.bias_k = unshifted.bias_k;
    out.rms_k = std::sqrt(unshifted.mean_square_k2);
    out.largest_k = unshifted.largest_k;
    out.largest_at_s = unshifted.largest_at_s;
    out.rms_after_shift_k = out.rms_k;
    for (const LoggedPoint& point : points)
        out.interpolation_k = std::max(out.interpolation_k, interpolation_error_k(predicted, point.time_s));
    const double bound_s = std::min(kLongestLag_s, (out.to_s - out.from_s) / 3.0);
    if (const auto shift = best_shift(predicted, points, unshifted, bound_s)) {
        out.lag_s = shift->shift_s;
        out.rms_after_shift_k = shift->rms_k;
    }
    return out;
}

Comparison compare(const TraceSet& predicted, const TraceSet& logged) {
    Comparison out;
    for (const Trace& trace : predicted.traces) {
        const Trace* partner = logged.find(trace.name);
        auto channel = partner == nullptr ? std::nullopt : compare_channel(trace, *partner);
        if (channel)
            out.channels.push_back(*std::move(channel));
        else
            out.unmatched_predicted.push_back(trace.name);
    }
    for (const Trace& trace : logged.traces) {
        const auto is_it = [&](const ChannelComparison& channel) { return channel.logged == trace.name; };
        if (std::none_of(out.channels.begin(), out.channels.end(), is_it)) out.unmatched_logged.push_back(trace.name);
    }
    std::stable_sort(out.channels.begin(), out.channels.end(),
                     [](const ChannelComparison& a, const ChannelComparison& b) { return a.rms_k > b.rms_k; });
    return out;
}

}  // namespace bakewright::tune
