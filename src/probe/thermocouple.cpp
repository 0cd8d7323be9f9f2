// SPDX-License-Identifier: Apache-2.0
#include "bakewright/probe/thermocouple.hpp"

#include <algorithm>
#include <array>
#include <boost/math/tools/roots.hpp>
#include <cmath>
#include <limits>
#include <utility>

#include "bakewright/base/units.hpp"
#include "its90_tables.hpp"

namespace bakewright::probe {
namespace {

constexpr double kNoTemperature = std::numeric_limits<double>::quiet_NaN();
constexpr double kMillivolt = 1e-3;
constexpr double kPrintRoundingMv = 0.5e-3;
constexpr double kTypeBInverseFromC = 250.0;

struct ValueAndSlope {
    double value = 0.0;
    double slope = 0.0;
};

/// Horner's scheme for a polynomial and its derivative.
ValueAndSlope evaluate(const Its90Polynomial& polynomial, double x) noexcept {
    ValueAndSlope out;
    for (auto c = polynomial.coefficient.rbegin(); c != polynomial.coefficient.rend(); ++c) {
        out.slope = out.slope * x + out.value;
        out.value = out.value * x + *c;
    }
    return out;
}

/// The polynomial whose range holds x; the lower one at a join. The ends are given by the caller's own check.
const Its90Polynomial& polynomial_for(std::span<const Its90Polynomial> polynomials, double x) noexcept {
    const auto holds = [x](const Its90Polynomial& polynomial) { return x <= polynomial.to; };
    const auto found = std::find_if(polynomials.begin(), polynomials.end(), holds);
    return found == polynomials.end() ? polynomials.back() : *found;
}

/// Emf [mV] and its slope [mV/K] at a temperature [degC] inside the range.
ValueAndSlope emf_mv(ThermocoupleType type, double t_c) noexcept {
    ValueAndSlope out = evaluate(polynomial_for(its90_forward(type), t_c), t_c);
    if (type == ThermocoupleType::k && t_c > 0.0) {
        const double from_a2 = t_c - kTypeKA2;
        const double term = kTypeKA0 * std::exp(kTypeKA1 * from_a2 * from_a2);
        out.value += term;
        out.slope += 2.0 * kTypeKA1 * from_a2 * term;
    }
    return out;
}

double least_c(ThermocoupleType type) noexcept { return its90_forward(type).front().from; }
double most_c(ThermocoupleType type) noexcept { return its90_forward(type).back().to; }
double inverse_least_c(ThermocoupleType type) noexcept {
    return type == ThermocoupleType::b ? kTypeBInverseFromC : least_c(type);
}

}  // namespace

ThermocoupleRange emf_range(ThermocoupleType type) noexcept {
    return {celsius_to_kelvin(least_c(type)), celsius_to_kelvin(most_c(type))};
}

ThermocoupleRange inverse_range(ThermocoupleType type) noexcept {
    return {celsius_to_kelvin(inverse_least_c(type)), celsius_to_kelvin(most_c(type))};
}

double thermocouple_emf_v(ThermocoupleType type, double junction_k) noexcept {
    const ThermocoupleRange range = emf_range(type);
    if (!(junction_k >= range.least_k && junction_k <= range.most_k)) return kNoTemperature;
    return emf_mv(type, kelvin_to_celsius(junction_k)).value * kMillivolt;
}

double thermocouple_junction_k(ThermocoupleType type, double emf_v) {
    const double wanted_mv = emf_v / kMillivolt, low_c = inverse_least_c(type), high_c = most_c(type);
    const double low_mv = emf_mv(type, low_c).value, high_mv = emf_mv(type, high_c).value;
    if (!(wanted_mv >= low_mv - kPrintRoundingMv && wanted_mv <= high_mv + kPrintRoundingMv)) return kNoTemperature;
    if (wanted_mv <= low_mv) return celsius_to_kelvin(low_c);
    if (wanted_mv >= high_mv) return celsius_to_kelvin(high_c);
    const double approximate_c = kelvin_to_celsius(approximate_junction_k(type, emf_v));
    // Outside of the published inverse a straight line through the range's ends is start enough: the function rises everywhere.
    const double line_c = low_c + (high_c - low_c) * (wanted_mv - low_mv) / (high_mv - low_mv);
    const double start_c = std::clamp(std::isnan(approximate_c) ? line_c : approximate_c, low_c, high_c);
    const auto excess = [&](double t_c) {
        const ValueAndSlope emf = emf_mv(type, t_c);
        return std::pair(emf.value - wanted_mv, emf.slope);
    };
    constexpr int kDigits = std::numeric_limits<double>::digits - 8;
    std::uintmax_t steps = 100;
    return celsius_to_kelvin(boost::math::tools::newton_raphson_iterate(excess, start_c, low_c, high_c, kDigits, steps));
}

double approximate_junction_k(ThermocoupleType type, double emf_v) noexcept {
    const double wanted_mv = emf_v / kMillivolt;
    const auto polynomials = its90_inverse(type);
    if (!(wanted_mv >= polynomials.front().from && wanted_mv <= polynomials.back().to)) return kNoTemperature;
    // The published ranges of types R and S overlap; the upper polynomial is the closer one there.
    const auto holds = [wanted_mv](const Its90Polynomial& polynomial) { return wanted_mv >= polynomial.from; };
    const auto found = std::find_if(polynomials.rbegin(), polynomials.rend(), holds);
    return celsius_to_kelvin(evaluate(*found, wanted_mv).value);
}

double thermocouple_junction_k(ThermocoupleType type, double measured_emf_v, double reference_junction_k) {
    return thermocouple_junction_k(type, measured_emf_v + thermocouple_emf_v(type, reference_junction_k));
}

}  // namespace bakewright::probe
