#pragma once

#include <vector>

#include "bakewright/thermal/network.hpp"

namespace bakewright::bench {

/// Node temperatures [K] at every output moment, one row after the other.
using Rows = std::vector<double>;

/// What the peer's rates take film coefficients from.
enum class Correlations {
    tabulated,  ///< the rates of RateSystem
    themselves  ///< the same network written out apart, with powers and roots
};

/// SUNDIALS CVODE, BDF with KLU (ordered by AMD), the exact Jacobian of RateSystem, without accounts, restarted at every
/// segment's end. Output at time 0 and at multiples of the interval, in place of what rows held (memory that is asked for anew
/// costs more than the solve). @throws std::runtime_error where CVODE gives up
void solve_with_sparse_cvode(const thermal::Network& network, const std::vector<thermal::Segment>& segments, double interval_s,
                             Correlations correlations, double relative_tolerance, double absolute_tolerance_k, Rows& rows);

}  // namespace bakewright::bench
