// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <span>

#include "bakewright/probe/thermocouple.hpp"

namespace bakewright::probe {

/// A polynomial sum c_i x^i that holds from one x to another.
struct Its90Polynomial {
    double from = 0.0;
    double to = 0.0;
    std::span<const double> coefficient;  ///< c_0 first
};

/// The exponential term of type K above 0 degC: a0 exp(a1 (t - a2)^2) [mV], t in degC.
inline constexpr double kTypeKA0 = 0.118597600000e+00;
inline constexpr double kTypeKA1 = -0.118343200000e-03;
inline constexpr double kTypeKA2 = 0.126968600000e+03;

/// Emf [mV] from temperature [degC], ranges ascending. (its90_forward.cpp)
[[nodiscard]] std::span<const Its90Polynomial> its90_forward(ThermocoupleType type) noexcept;
/// Temperature [degC] from emf [mV], ranges ascending. (its90_inverse.cpp)
[[nodiscard]] std::span<const Its90Polynomial> its90_inverse(ThermocoupleType type) noexcept;

}  // namespace bakewright::probe
