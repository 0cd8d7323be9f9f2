#pragma once

#include <span>
#include <vector>

namespace bakewright::tune {

/// What a probe does to the temperature that it is held to.
struct ProbeResponse {
    double air_share = 0.0;  ///< of the way from the zone to the air that it settles at, 0 to 1
    double lag_s = 0.0;      ///< first order, >= 0
};

/// A probe's reading on an even grid: first order in time towards (1 - share) zone + share air, which go in straight lines
/// between moments; exact for those. It starts settled. Shapes: one value a moment, also the result.
[[nodiscard]] std::vector<double> responded(std::span<const float> zone_k, std::span<const float> air_k, double interval_s,
                                            const ProbeResponse& response);

/// Value on an even grid at a time within it, by the straight line.
[[nodiscard]] double on_grid(std::span<const double> values, double begin_s, double interval_s, double time_s);

}  // namespace bakewright::tune
