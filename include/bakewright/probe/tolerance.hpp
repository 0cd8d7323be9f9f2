// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "bakewright/base/trace.hpp"
#include "bakewright/probe/thermocouple.hpp"

/// How far a probe may be off: by the class it was bought to, or by what its calibration found.
namespace bakewright::probe {

/// Tolerance classes of new thermocouples, reference junction at 0 degC.
enum class ToleranceClass { iec_1, iec_2, iec_3, astm_standard, astm_special };

constexpr std::array<std::string_view, 5> words_of(ToleranceClass) noexcept {
    return {"IEC 1", "IEC 2", "IEC 3", "ASTM standard", "ASTM special"};
}

/// Largest deviation a class allows at a temperature [K]: the greater of a constant and a share of |t|, t in degC. Nothing where
/// the class does not cover the type or the temperature. Source: IEC 60584-1:2013, table of tolerances (K, N, J, T, E, R, S class
/// 1 and 2 confirmed by several makers' tables; class 3, type B and R, S class 1 above 1100 degC from memory); ASTM E230/E230M,
/// table of initial calibration tolerances (from memory).
[[nodiscard]] std::optional<double> tolerance_k(ThermocoupleType type, ToleranceClass tolerance, double temperature_k) noexcept;

/// Standard uncertainty of what is only known to lie within a tolerance, every value as likely: tolerance / sqrt(3).
/// Source: JCGM 100:2008 (GUM), 4.3.7.
[[nodiscard]] double standard_uncertainty_k(double tolerance_k) noexcept;
/// The tolerance that has this standard uncertainty.
[[nodiscard]] double tolerance_of_standard_k(double standard_k) noexcept;

/// What a calibration found.
struct CalibrationPoint {
    double temperature_k = 0.0;
    double correction_k = 0.0;  ///< to be added to a reading
};
struct Calibration {
    std::vector<CalibrationPoint> points;  ///< at least one, rising temperature
    double expanded_uncertainty_k = 0.0;   ///< as the certificate states it, >= 0
    double coverage_factor = 2.0;          ///< > 0; certificates use 2 for about 95 %

    /// Straight lines between the points; beyond them the nearest point's. @throws PromiseError where there is no point
    [[nodiscard]] double correction_k(double temperature_k) const;
    [[nodiscard]] double standard_uncertainty_k() const noexcept { return expanded_uncertainty_k / coverage_factor; }
};

/// A trace with its readings corrected; missing samples stay missing, flags stay.
[[nodiscard]] Trace corrected(Trace trace, const Calibration& calibration);

}  // namespace bakewright::probe
