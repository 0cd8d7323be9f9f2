// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "bakewright/base/trace.hpp"

namespace bakewright::tune {

/// A logged sample, and whether the stretch from the sample before it is free of a gap.
struct LoggedPoint {
    double time_s = 0.0;
    double temperature_k = 0.0;
    bool joined = false;
};

/// Predicted minus logged over the points where the prediction is known.
struct DifferenceStatistics {
    std::size_t samples = 0;
    double joined_s = 0.0;  ///< time that counts
    double from_s = 0.0;
    double to_s = 0.0;
    double bias_k = 0.0;
    double mean_square_k2 = 0.0;
    double largest_k = 0.0;
    double largest_at_s = 0.0;
};

/// The usable samples of a log; gaps are longer than five median intervals and than two minutes.
[[nodiscard]] std::vector<LoggedPoint> logged_points(const Trace& logged);

/// Points inside the time of the prediction.
[[nodiscard]] std::vector<LoggedPoint> in_common_time(std::vector<LoggedPoint> points, const Trace& predicted);

/// What reading a prediction off the straight line between two of its samples may err by [K]:
///
///     |T''| (t - a) (b - t) / 2
///
/// T'' the larger of the second differences at the two samples; 0 at a sample and where there are fewer than three.
/// Source: Abramowitz & Stegun, Handbook of Mathematical Functions (1964), 25.2 (remainder of linear interpolation; from memory).
[[nodiscard]] double interpolation_error_k(const Trace& predicted, double time_s);

/// Every n-th point so that at most so many are left; gaps stay gaps.
[[nodiscard]] std::vector<LoggedPoint> thinned(const std::vector<LoggedPoint>& points, std::size_t most);

/// Compares predicted(t - shift_s) with the log at its points. Between two points the difference d is a straight line:
/// its integral is dt (d0 + d1) / 2, that of its square dt (d0^2 + d0 d1 + d1^2) / 3.
[[nodiscard]] DifferenceStatistics difference(const Trace& predicted, const std::vector<LoggedPoint>& points,
                                              double shift_s = 0.0);

/// A shift of the log and what is left after it.
struct BestShift {
    double shift_s = 0.0;
    double rms_k = 0.0;
};

/// The shift within +-bound_s that makes the RMS least; nothing where the traces are too flat or the least lies at the bound.
/// First a scan, which finds the right valley, then Brent's method in it.
/// Source: R. P. Brent, Algorithms for Minimization without Derivatives, 1973, ch. 5 (Boost.Math brent_find_minima).
/// @param unshifted  difference(predicted, points, 0)
[[nodiscard]] std::optional<BestShift> best_shift(const Trace& predicted, const std::vector<LoggedPoint>& points,
                                                  const DifferenceStatistics& unshifted, double bound_s);

}  // namespace bakewright::tune
