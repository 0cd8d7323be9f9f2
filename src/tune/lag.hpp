#pragma once

#include <optional>
#include <vector>

#include "difference.hpp"

namespace bakewright::tune {

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
