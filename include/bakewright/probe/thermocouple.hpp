// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <string_view>

#include "bakewright/base/words.hpp"

namespace bakewright::probe {

/// The letter-designated thermocouples whose reference functions ITS-90 gives.
enum class ThermocoupleType { b, e, j, k, n, r, s, t };

constexpr std::array<std::string_view, 8> words_of(ThermocoupleType) noexcept { return {"B", "E", "J", "K", "N", "R", "S", "T"}; }

/// Temperatures between which a function holds [K].
struct ThermocoupleRange {
    double least_k = 0.0;
    double most_k = 0.0;
};

/// Range of the reference function.
[[nodiscard]] ThermocoupleRange emf_range(ThermocoupleType type) noexcept;
/// Range of the inverse: that of the reference function, but for type B only from 250 degC up, since below its emf falls and
/// rises again (lowest near 21 degC) and is too small to tell temperatures apart.
[[nodiscard]] ThermocoupleRange inverse_range(ThermocoupleType type) noexcept;

/// Emf of a thermocouple with its reference junction at 0 degC [V].
///
///     E = sum c_i t^i, t in degC; type K above 0 degC adds a0 exp(a1 (t - a2)^2)
///
/// @param junction_k  temperature of the measuring junction [K]; NaN is given back outside emf_range()
/// Source: Burns, Scroger, Strouse, Croarkin, Guthrie, NIST Monograph 175, 1993; the same functions in IEC 60584-1 and ASTM E230.
[[nodiscard]] double thermocouple_emf_v(ThermocoupleType type, double junction_k) noexcept;

/// Temperature of the measuring junction from the emf with the reference junction at 0 degC [K]: the reference function solved to
/// 1e-7 K (1e-8 K above 30 K). An emf that lies beyond the range by no more than half a microvolt, the rounding of printed
/// tables, gives the end of the range; further out it gives NaN.
[[nodiscard]] double thermocouple_junction_k(ThermocoupleType type, double emf_v);

/// The same by the approximate inverse polynomials that NIST publishes, good to a few hundredths of a kelvin; NaN outside the
/// emf that they cover. For instruments that use them, and to check the exact inverse.
[[nodiscard]] double approximate_junction_k(ThermocoupleType type, double emf_v) noexcept;

/// Temperature of the measuring junction from an emf measured with the reference junction at another temperature [K].
/// The emf of the reference junction is added before the inverse is taken (law of intermediate temperatures); adding
/// temperatures instead would be wrong, since the functions are not straight lines. NaN where either lies out of range.
[[nodiscard]] double thermocouple_junction_k(ThermocoupleType type, double measured_emf_v, double reference_junction_k);

}  // namespace bakewright::probe
