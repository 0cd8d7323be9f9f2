#include "lag.hpp"

#include <algorithm>
#include <boost/math/tools/minima.hpp>
#include <cmath>
#include <limits>

namespace bakewright::tune {
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
