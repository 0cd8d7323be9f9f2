// SPDX-License-Identifier: Apache-2.0
#include "difference.hpp"

#include <algorithm>
#include <boost/math/tools/minima.hpp>
#include <cmath>
#include <limits>

namespace bakewright::tune {
namespace {

constexpr double kGapIntervals = 5.0;
constexpr double kGapLeast_s = 120.0;

double longest_joined_s(const Trace& samples) {
    std::vector<double> intervals_s;
    for (std::size_t i = 1; i < samples.size(); ++i) intervals_s.push_back(samples.time_s[i] - samples.time_s[i - 1]);
    if (intervals_s.empty()) return kGapLeast_s;
    const auto middle = intervals_s.begin() + static_cast<std::ptrdiff_t>(intervals_s.size() / 2);
    std::nth_element(intervals_s.begin(), middle, intervals_s.end());
    return std::max(kGapLeast_s, kGapIntervals * *middle);
}

void take_sample(DifferenceStatistics& out, double time_s, double difference_k) {
    if (out.samples++ == 0) out.from_s = time_s;
    out.to_s = time_s;
    if (std::abs(difference_k) <= std::abs(out.largest_k) && out.samples > 1) return;
    out.largest_k = difference_k;
    out.largest_at_s = time_s;
}

}  // namespace

std::vector<LoggedPoint> logged_points(const Trace& logged) {
    const Trace samples = logged.usable_samples();
    const double longest_s = longest_joined_s(samples);
    std::vector<LoggedPoint> points;
    points.reserve(samples.size());
    for (std::size_t i = 0; i < samples.size(); ++i) {
        const bool joined = i > 0 && samples.time_s[i] - samples.time_s[i - 1] <= longest_s;
        points.push_back({samples.time_s[i], samples.temperature_k[i], joined});
    }
    return points;
}

std::vector<LoggedPoint> in_common_time(std::vector<LoggedPoint> points, const Trace& predicted) {
    std::erase_if(points, [&](const LoggedPoint& point) {
        return point.time_s < predicted.time_s.front() || point.time_s > predicted.time_s.back();
    });
    return points;
}

double interpolation_error_k(const Trace& predicted, double time_s) {
    const auto next = std::upper_bound(predicted.time_s.begin(), predicted.time_s.end(), time_s);
    if (next == predicted.time_s.begin() || next == predicted.time_s.end()) return 0.0;
    const auto b = static_cast<std::size_t>(next - predicted.time_s.begin()), a = b - 1;
    double bend_k_per_s2 = 0.0;
    for (const std::size_t middle : {a, b}) {
        if (middle == 0 || middle + 1 >= predicted.size()) continue;
        const double before_s = predicted.time_s[middle] - predicted.time_s[middle - 1],
                     after_s = predicted.time_s[middle + 1] - predicted.time_s[middle];
        const double slopes_apart = (predicted.temperature_k[middle + 1] - predicted.temperature_k[middle]) / after_s -
                                    (predicted.temperature_k[middle] - predicted.temperature_k[middle - 1]) / before_s;
        const double found = std::abs(2.0 * slopes_apart / (before_s + after_s));
        if (std::isfinite(found)) bend_k_per_s2 = std::max(bend_k_per_s2, found);
    }
    return 0.5 * bend_k_per_s2 * (time_s - predicted.time_s[a]) * (predicted.time_s[b] - time_s);
}

std::vector<LoggedPoint> thinned(const std::vector<LoggedPoint>& points, std::size_t most) {
    const std::size_t stride = (points.size() + most - 1) / std::max<std::size_t>(most, 1);
    if (stride <= 1) return points;
    std::vector<LoggedPoint> out;
    bool joined = true;
    for (std::size_t i = 0; i < points.size(); ++i) {
        joined = joined && points[i].joined;
        if (i % stride != 0) continue;
        out.push_back({points[i].time_s, points[i].temperature_k, joined});
        joined = true;
    }
    return out;
}

DifferenceStatistics difference(const Trace& predicted, const std::vector<LoggedPoint>& points, double shift_s) {
    DifferenceStatistics out;
    double before_k = std::numeric_limits<double>::quiet_NaN(), before_s = 0.0, sum_k_s = 0.0, sum_k2_s = 0.0;
    for (const LoggedPoint& point : points) {
        const double here_k = temperature_at_k(predicted, point.time_s - shift_s) - point.temperature_k;
        if (std::isfinite(here_k)) take_sample(out, point.time_s, here_k);
        if (point.joined && std::isfinite(here_k) && std::isfinite(before_k)) {
            const double step_s = point.time_s - before_s;
            out.joined_s += step_s;
            sum_k_s += step_s * (before_k + here_k) / 2.0;
            sum_k2_s += step_s * (before_k * before_k + before_k * here_k + here_k * here_k) / 3.0;
        }
        before_k = here_k;
        before_s = point.time_s;
    }
    if (out.joined_s > 0.0) {
        out.bias_k = sum_k_s / out.joined_s;
        out.mean_square_k2 = std::max(0.0, sum_k2_s / out.joined_s);
    }
    return out;
}

namespace {

constexpr int kScanSteps = 60;             // a side
constexpr std::size_t kScanPoints = 1000;  // more do not make the valley clearer
constexpr double kLeastOverlap = 0.5;      // of the time compared without shift
constexpr double kNoticeable_k = 0.5;      // about what one good probe differs from another

/// Mean square at a shift; infinite where too little is left to compare.
double mean_square_k2(const Trace& predicted, const std::vector<LoggedPoint>& points, double shift_s, double least_joined_s) {
    const DifferenceStatistics shifted = difference(predicted, points, shift_s);
    return shifted.joined_s >= least_joined_s ? shifted.mean_square_k2 : std::numeric_limits<double>::infinity();
}

/// Highest finite RMS of a stretch of the scan; 0 where there is none.
double highest_rms_k(const std::vector<double>& scan_k2, std::size_t from, std::size_t to) {
    double highest = 0.0;
    for (std::size_t i = from; i < to; ++i)
        if (std::isfinite(scan_k2[i])) highest = std::max(highest, scan_k2[i]);
    return std::sqrt(highest);
}

bool is_clear_valley(const std::vector<double>& scan_k2, std::size_t lowest) {
    const double bottom_k = std::sqrt(scan_k2[lowest]) + kNoticeable_k;
    return highest_rms_k(scan_k2, 0, lowest) >= bottom_k && highest_rms_k(scan_k2, lowest + 1, scan_k2.size()) >= bottom_k;
}

}  // namespace

std::optional<BestShift> best_shift(const Trace& predicted, const std::vector<LoggedPoint>& points,
                                    const DifferenceStatistics& unshifted, double bound_s) {
    if (!(bound_s > 0.0) || points.size() < 3) return {};
    const std::vector<LoggedPoint> coarse = thinned(points, kScanPoints);
    const double coarse_joined_s = kLeastOverlap * difference(predicted, coarse, 0.0).joined_s;
    const double step_s = bound_s / kScanSteps;
    std::vector<double> scan_k2;
    for (int i = -kScanSteps; i <= kScanSteps; ++i)
        scan_k2.push_back(mean_square_k2(predicted, coarse, i * step_s, coarse_joined_s));
    const auto lowest = static_cast<std::size_t>(std::min_element(scan_k2.begin(), scan_k2.end()) - scan_k2.begin());
    if (!std::isfinite(scan_k2[lowest]) || !is_clear_valley(scan_k2, lowest)) return {};

    const double middle_s = (static_cast<double>(lowest) - kScanSteps) * step_s;
    const double least_joined_s = kLeastOverlap * unshifted.joined_s;
    const auto at = [&](double shift_s) { return mean_square_k2(predicted, points, shift_s, least_joined_s); };
    constexpr int kBits = std::numeric_limits<double>::digits / 2;
    const auto [shift_s, lowest_k2] = boost::math::tools::brent_find_minima(at, middle_s - step_s, middle_s + step_s, kBits);
    if (unshifted.mean_square_k2 <= lowest_k2) return BestShift{0.0, std::sqrt(unshifted.mean_square_k2)};
    return BestShift{shift_s, std::sqrt(lowest_k2)};
}

}  // namespace bakewright::tune
