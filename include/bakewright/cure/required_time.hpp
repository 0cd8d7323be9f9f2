// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <span>
#include <string>
#include <vector>

#include "bakewright/cure/coating.hpp"

namespace bakewright::cure {

/// A coating needs this long at this temperature.
struct SchedulePoint {
    double temperature_k = 0.0;  ///< > 0
    double time_s = 0.0;         ///< > 0
};

/// What holds above the hottest schedule point.
enum class BeyondLastPoint {
    keep_rate,  ///< the rate of the last point: hotter earns nothing more than the sheet prints
    nothing,    ///< hotter earns nothing at all
    go_on       ///< the Arrhenius line goes on: the careful side where too much heat is looked for
};

/// How long a coating must be held at a temperature, by Arrhenius lines through its schedule.
///
///     ln t_required(T) is linear in 1/T between neighbouring points;
///     t_required(T) = t_1 exp(E/R (1/T - 1/T_1)) under the first point, and above the last one by `beyond`;
///     t_required(T) is infinite under the floor.
///
/// Inside it is kept as pieces of rate(T) = 1 / t_required(T) = exp(a - b/T), one after the other from the floor up.
/// Source: S. Arrhenius, Z. Phys. Chem. 4 (1889) 226 (the law, from memory); reading a schedule by it is common practice.
class RequiredTime {
public:
    /// rate(T) = exp(log_rate - slope_k / T) [1/s] for from_k <= T < until_k.
    struct Piece {
        double from_k = 0.0;
        double until_k = 0.0;
        double log_rate = 0.0;  ///< minus infinity where nothing is earned
        double slope_k = 0.0;   ///< E/R [K], 0 where the rate is kept
    };

    /// @param points  at least one, rising temperature, falling time
    /// @param activation_energy_j_per_mol  > 0; holds outside the points
    /// @param floor_k  100 K or more
    /// @throws PromiseError where a parameter is not as said
    RequiredTime(std::vector<SchedulePoint> points, double activation_energy_j_per_mol, double floor_k, BeyondLastPoint beyond);

    /// [s]; infinite under the floor.
    [[nodiscard]] double required_s(double temperature_k) const noexcept;
    /// [1/s]; 0 under the floor.
    [[nodiscard]] double rate_per_s(double temperature_k) const noexcept;
    [[nodiscard]] double floor_k() const noexcept { return floor_k_; }
    [[nodiscard]] double last_point_k() const noexcept { return last_point_k_; }
    /// From here up to rate_from_sheet_until_k() the sheet alone sets the rate; outside, the activation energy does. Infinite
    /// where the Arrhenius line does not go on.
    [[nodiscard]] double rate_from_sheet_from_k() const noexcept { return sheet_from_k_; }
    [[nodiscard]] double rate_from_sheet_until_k() const noexcept { return sheet_until_k_; }
    [[nodiscard]] std::span<const Piece> pieces() const noexcept { return pieces_; }

private:
    double floor_k_;
    double last_point_k_;
    double sheet_from_k_;
    double sheet_until_k_;
    std::vector<Piece> pieces_;
};

/// An activation energy and where it comes from.
struct ChosenActivationEnergy {
    ActivationEnergy energy;
    std::string origin;  ///< "given", "from the sheet's 2 schedules", "default band"
};

/// The one given with the coating; else the least-squares slope of ln(minimum) over 1/T through its rows where there are two or
/// more; else the default. A slope from rows is as good as minutes rounded to fives: it holds between the rows, and the band
/// outside them is widened to the default's (low 30, high 75 kJ/mol) where it does not already reach so far.
/// @param coating  checked: problems_in(coating) is empty
[[nodiscard]] ChosenActivationEnergy choose_activation_energy(const Coating& coating);

/// Least-squares slope of ln(time) over 1/T, times R [J/mol]; exact for two points.
/// @param points  at least two, of different temperatures
[[nodiscard]] double fit_activation_energy_j_per_mol(std::span<const SchedulePoint> points);

/// The minimum times of a coating's rows.
[[nodiscard]] std::vector<SchedulePoint> minimum_points(const Coating& coating);
/// The maximum times of those rows that have one; may be empty.
[[nodiscard]] std::vector<SchedulePoint> maximum_points(const Coating& coating);
/// The first row at or above the floor: equivalent minutes are told at its temperature.
[[nodiscard]] const ScheduleRow& reference_row(const Coating& coating);

}  // namespace bakewright::cure
