// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <memory>
#include <span>

#include "bakewright/thermal/network.hpp"

namespace bakewright::thermal {

/// The rates of change of a network, for whoever steps it with a method of their own. solve() needs none of it.
///
/// State: the node temperatures [K] in node order, then one integral state [K] a heater. The heaters of a network that switches
/// (Network::has_switches()) stand as they are: neither lit nor tripped. One object serves one thread: it keeps scratch values.
/// Refers to no record of the caller's.
class NetworkRates {
public:
    explicit NetworkRates(const Network& network);
    ~NetworkRates();
    NetworkRates(NetworkRates&&) noexcept;
    NetworkRates& operator=(NetworkRates&&) noexcept;

    [[nodiscard]] std::size_t size() const noexcept;
    /// The state at time 0. Shape: size() values
    void start(std::span<double> state) const;
    /// What is given from outside from now on; no step of a method may pass the segment's end, where the rates have a corner.
    void set_segment(const Segment& segment);
    /// dT/dt [K/s]. Shapes: both size() values. Never throws; finite for finite temperatures above 0 K.
    void operator()(double time_s, std::span<const double> state, std::span<double> rate_k_per_s) const;

private:
    struct System;
    std::unique_ptr<System> system_;
};

}  // namespace bakewright::thermal
