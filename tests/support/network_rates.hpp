// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <span>

#include "bakewright/thermal/network.hpp"

namespace bakewright::support {

/// Rates of a network [K/s], written apart from the product's from its public lists, with the correlations themselves where the
/// product reads tables. Shapes: y and dydt hold the node temperatures, then one integral state a heater. Heaters that switch are
/// not known here.
void network_rates(const thermal::Network& network, const thermal::Segment& segment, double time_s, std::span<const double> y,
                   std::span<double> dydt);

}  // namespace bakewright::support
