#pragma once

#include <vector>

#include "bakewright/thermal/network.hpp"

namespace bakewright::bench {

/// Node temperatures [K] at every output moment, one row after the other.
using Rows = std::vector<double>;

/// SUNDIALS CVODE, BDF with KLU (ordered by AMD), the exact Jacobian and the rates of RateSystem, restarted at every segment's
/// end. Output at time 0 and at multiples of the interval. @throws std::runtime_error where CVODE gives up
[[nodiscard]] Rows solve_with_sparse_cvode(const thermal::Network& network, const std::vector<thermal::Segment>& segments,
                                           double interval_s, double relative_tolerance, double absolute_tolerance_k);

}  // namespace bakewright::bench
