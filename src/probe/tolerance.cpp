// SPDX-License-Identifier: Apache-2.0
#include "bakewright/probe/tolerance.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "bakewright/base/error.hpp"
#include "bakewright/base/units.hpp"

namespace bakewright::probe {
namespace {

using Type = ThermocoupleType;
using Class = ToleranceClass;

/// max(constant, share |t|) from least to most [degC].
struct Rule {
    Class tolerance;
    Type type;
    double constant_k;
    double share;
    double least_c, most_c;
};

constexpr std::array kRules = {
    Rule{Class::iec_1, Type::t, 0.5, 0.004, -40, 350},         Rule{Class::iec_1, Type::e, 1.5, 0.004, -40, 800},
    Rule{Class::iec_1, Type::j, 1.5, 0.004, -40, 750},         Rule{Class::iec_1, Type::k, 1.5, 0.004, -40, 1000},
    Rule{Class::iec_1, Type::n, 1.5, 0.004, -40, 1000},        Rule{Class::iec_2, Type::t, 1.0, 0.0075, -40, 350},
    Rule{Class::iec_2, Type::e, 2.5, 0.0075, -40, 900},        Rule{Class::iec_2, Type::j, 2.5, 0.0075, -40, 750},
    Rule{Class::iec_2, Type::k, 2.5, 0.0075, -40, 1200},       Rule{Class::iec_2, Type::n, 2.5, 0.0075, -40, 1200},
    Rule{Class::iec_2, Type::r, 1.5, 0.0025, 0, 1600},         Rule{Class::iec_2, Type::s, 1.5, 0.0025, 0, 1600},
    Rule{Class::iec_2, Type::b, 0.0, 0.0025, 600, 1700},       Rule{Class::iec_3, Type::t, 1.0, 0.015, -200, 40},
    Rule{Class::iec_3, Type::e, 2.5, 0.015, -200, 40},         Rule{Class::iec_3, Type::k, 2.5, 0.015, -200, 40},
    Rule{Class::iec_3, Type::n, 2.5, 0.015, -200, 40},         Rule{Class::iec_3, Type::b, 4.0, 0.005, 600, 1700},
    Rule{Class::astm_standard, Type::t, 1.0, 0.0075, 0, 370},  Rule{Class::astm_standard, Type::e, 1.7, 0.005, 0, 870},
    Rule{Class::astm_standard, Type::j, 2.2, 0.0075, 0, 760},  Rule{Class::astm_standard, Type::k, 2.2, 0.0075, 0, 1260},
    Rule{Class::astm_standard, Type::n, 2.2, 0.0075, 0, 1260}, Rule{Class::astm_standard, Type::r, 1.5, 0.0025, 0, 1480},
    Rule{Class::astm_standard, Type::s, 1.5, 0.0025, 0, 1480}, Rule{Class::astm_standard, Type::b, 0.0, 0.005, 870, 1700},
    Rule{Class::astm_special, Type::t, 0.5, 0.004, 0, 370},    Rule{Class::astm_special, Type::e, 1.0, 0.004, 0, 870},
    Rule{Class::astm_special, Type::j, 1.1, 0.004, 0, 760},    Rule{Class::astm_special, Type::k, 1.1, 0.004, 0, 1260},
    Rule{Class::astm_special, Type::n, 1.1, 0.004, 0, 1260},   Rule{Class::astm_special, Type::r, 0.6, 0.001, 0, 1480},
    Rule{Class::astm_special, Type::s, 0.6, 0.001, 0, 1480},
};

/// R and S of class 1 follow a rule of their own: 1 K up to 1100 degC, then 1 + 0.003 (t - 1100).
std::optional<double> platinum_class_1_k(double t_c) {
    if (!(t_c >= 0.0 && t_c <= 1600.0)) return std::nullopt;
    return 1.0 + 0.003 * std::max(t_c - 1100.0, 0.0);
}

}  // namespace

std::optional<double> tolerance_k(ThermocoupleType type, ToleranceClass tolerance, double temperature_k) noexcept {
    // Conversions round: 40 degC in kelvin is still 40 degC.
    const double t_c = std::round(kelvin_to_celsius(temperature_k) * 1e9) / 1e9;
    if (tolerance == Class::iec_1 && (type == Type::r || type == Type::s)) return platinum_class_1_k(t_c);
    for (const Rule& rule : kRules)
        if (rule.tolerance == tolerance && rule.type == type && t_c >= rule.least_c && t_c <= rule.most_c)
            return std::max(rule.constant_k, rule.share * std::abs(t_c));
    return std::nullopt;
}

double standard_uncertainty_k(double tolerance_k) noexcept { return tolerance_k / std::sqrt(3.0); }
double tolerance_of_standard_k(double standard_k) noexcept { return standard_k * std::sqrt(3.0); }

double Calibration::correction_k(double temperature_k) const {
    ensure(!points.empty(), "a calibration has a point");
    const auto above = std::find_if(points.begin(), points.end(),
                                    [&](const CalibrationPoint& point) { return point.temperature_k >= temperature_k; });
    if (above == points.begin()) return points.front().correction_k;
    if (above == points.end()) return points.back().correction_k;
    const CalibrationPoint& low = *(above - 1);
    const double share = (temperature_k - low.temperature_k) / (above->temperature_k - low.temperature_k);
    return low.correction_k + share * (above->correction_k - low.correction_k);
}

Trace corrected(Trace trace, const Calibration& calibration) {
    for (double& temperature_k : trace.temperature_k)
        if (std::isfinite(temperature_k)) temperature_k += calibration.correction_k(temperature_k);
    return trace;
}

}  // namespace bakewright::probe
