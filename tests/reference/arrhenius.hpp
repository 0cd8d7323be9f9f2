// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <boost/math/special_functions/expint.hpp>
#include <cmath>

#include "bakewright/base/units.hpp"

/// Closed forms of Arrhenius integrals.
namespace bakewright::reference {

/// An antiderivative of exp(-b/T) over T: T exp(-b/T) - b E1(b/T), with b = E/R [K].
/// Source: by parts from the definition of E1, Abramowitz & Stegun (1964) 5.1.1; E1 from Boost.Math.
inline double arrhenius_antiderivative_k(double b_k, double temperature_k) {
    return temperature_k * std::exp(-b_k / temperature_k) - b_k * boost::math::expint(1, b_k / temperature_k);
}

/// Integral of exp(b/T_ref - b/T(t)) dt along a straight line from one temperature to another [s]: the time at T_ref that does
/// the same. The factor exp(b/T_ref) keeps it far from underflow.
inline double ramp_equivalent_s(double from_k, double until_k, double duration_s, double reference_k, double energy_j_per_mol) {
    const double b_k = energy_j_per_mol / kGasConstant;
    const double integral_k = arrhenius_antiderivative_k(b_k, until_k) - arrhenius_antiderivative_k(b_k, from_k);
    return std::exp(b_k / reference_k) * integral_k * duration_s / (until_k - from_k);
}

}  // namespace bakewright::reference
