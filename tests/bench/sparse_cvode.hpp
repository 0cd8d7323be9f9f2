// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <functional>
#include <memory>
#include <span>
#include <vector>

#include "bakewright/thermal/network.hpp"
#include "rate_layout.hpp"

namespace bakewright::bench {

/// A member's node temperatures, moment by moment: at the start, at multiples of the interval and at every segment's end.
using NodeObserver = std::function<void(double time_s, std::span<const double> node_k)>;

/// What the peer's rates take film coefficients from.
enum class Correlations {
    tabulated,  ///< the rates of RateSystem
    themselves  ///< the same network written out apart, with powers and roots; for the network's own numbers alone
};

/// The peer: SUNDIALS CVODE, BDF with KLU (ordered by AMD), the exact Jacobian of RateSystem, without accounts, restarted at
/// every segment's end. Set up once for any number of members. Refers to network and segments for its lifetime.
class SparseCvode {
public:
    /// @throws std::runtime_error where CVODE refuses
    SparseCvode(const thermal::Network& network, const std::vector<thermal::Segment>& segments, double interval_s,
                Correlations correlations, double relative_tolerance, double absolute_tolerance_k);
    SparseCvode(const SparseCvode&) = delete;
    SparseCvode& operator=(const SparseCvode&) = delete;
    ~SparseCvode();
    /// @throws std::runtime_error where CVODE gives up
    void solve(const thermal::Member<double>& member, const NodeObserver& observer);

private:
    struct Parts;
    std::unique_ptr<Parts> parts_;
};

}  // namespace bakewright::bench
