// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <span>
#include <vector>

#include "bakewright/thermal/network.hpp"

namespace bakewright::support {

/// An independent solution of a network: SUNDIALS CVODE, BDF, restarted at each segment's end, its right-hand side written apart
/// from the product's from the network's public lists.
struct CvodeSolution {
    std::vector<double> time_s;
    std::vector<std::vector<double>> node_k;  ///< one row a time
};

/// Reports at the given times (rising, within the segments). @throws std::runtime_error where CVODE gives up.
[[nodiscard]] CvodeSolution solve_with_cvode(const thermal::Network& network, std::span<const thermal::Segment> segments,
                                             std::span<const double> output_s, double relative_tolerance,
                                             double absolute_tolerance_k);

}  // namespace bakewright::support
