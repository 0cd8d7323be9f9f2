// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <optional>

#include "bakewright/cure/coating.hpp"
#include "bakewright/cure/readings.hpp"
#include "bakewright/cure/required_time.hpp"

namespace bakewright::cure {

/// Largest error a piece of the integral may carry, relative to itself.
inline constexpr double kDoseTolerance = 1e-9;

/// Sums over thousands of samples round: a dose this little under its target has reached it.
inline constexpr double kDoseRounding = 1e-9;

/// D = integral of dt / t_required(T(t)) along a trace; 1 is cured.
struct DoseReading {
    double dose = 0.0;
    /// |dose - true integral| is below this, rounding apart: the sum of the remainder bounds of all pieces.
    double error_bound = 0.0;
    double beyond_last_point_s = 0.0;  ///< time hotter than the last schedule point
    std::optional<double> reached_s;   ///< the moment the dose first reached the target, solved to 1e-6 s
};

/// The dose of a trace. Each straight line is cut where it crosses the floor and the schedule's points, solved exactly; each part
/// is integrated by a rule whose remainder is bounded by kDoseTolerance of the part.
///
/// With h the temperature step of a part and b = E/R, the n-th derivative of exp(-b/T) along it is at most
/// exp(-b/T) (h (b/T + n) / T)^n at its coldest T (from the Lah-number form of the derivative), which bounds the remainder of
/// - the trapezoid corrected by the end slopes, 1/720 f''''        (small steps: a logger's samples)
/// - Gauss's 7-point rule, (7!)^4 / (15 (14!)^3) f^(14)           (large steps, halved until the bound holds)
/// Source: Abramowitz & Stegun, Handbook of Mathematical Functions (1964), 25.4.3 with 23.1.31 and 25.4.30 (equation numbers from
/// memory).
/// @param target  > 0; the dose whose moment is looked for
[[nodiscard]] DoseReading dose(const JoinedTrace& trace, const RequiredTime& required, double target = 1.0);

/// The doses along curves for a low, a middle and a high activation energy.
struct DoseBandReading {
    Band dose;
    double error_bound = 0.0;          ///< the largest of the three
    double beyond_last_point_s = 0.0;  ///< time hotter than the last schedule point
    std::optional<double> reached_s;   ///< when the dose of the middle curve first reached the target
};

/// As dose(), three at once; where the sheet alone sets the rate the work is done once.
/// @param curves  of the same points, floor and rule above the last point, in the order of Band
[[nodiscard]] DoseBandReading dose_band(const JoinedTrace& trace, const std::array<RequiredTime, 3>& curves, double target = 1.0);

/// Time at one reference temperature that would do the same as the trace, for one activation energy and with the Arrhenius line
/// going on without an end: the plain "equivalent minutes" of a trace, whatever the sheet says [s].
[[nodiscard]] double equivalent_time_s(const JoinedTrace& trace, double reference_temperature_k,
                                       double activation_energy_j_per_mol, double floor_k);

}  // namespace bakewright::cure
