// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/plan/plan.hpp"
#include "bakewright/plan/task.hpp"

namespace bakewright::plan {

/// What a prediction takes for granted where nobody measured it.
enum class Assumed { air_strength, air_by_height, wall_offset, wall_loss, fresh_air, heater, sensor, thickness, seams, leakage };

/// What it would change if one assumption were at the low or the high end of its range, all else as it is.
struct AssumptionEffect {
    Assumed assumed = Assumed::air_strength;
    /// So much later the last coated zone is cured [s]; below 0: sooner; absent: never within the longest hold.
    std::optional<double> later_at_low_s, later_at_high_s;
    double hotter_at_low_k = 0.0, hotter_at_high_k = 0.0;  ///< change of the highest peak of any zone or item
};

/// The cycle that is likeliest to work where none is sure enough, or none works at all on best-guess values.
struct LikeliestCycle {
    double setpoint_k = 0.0;
    double hold_s = 0.0;
    double chance = 0.0;    ///< that every coated zone is cured and nothing gets too hot
    std::string last_zone;  ///< that is cured last
    /// Those that move it most, the strongest first, at most kAssumptionsTold; empty where none matters.
    std::vector<AssumptionEffect> assumptions;
};
inline constexpr std::size_t kAssumptionsTold = 3;
/// An assumption under both is not worth settling: nobody sets a booth by less.
inline constexpr double kLeastEffectS = 3.0 * kSecondPerMinute, kLeastEffectK = 1.0;

/// Of an infeasible plan whose confidence was asked: the surest candidate, else the coolest that cures with its hold, else the
/// hottest with the longest hold; with its chance by the same ensemble as any plan, and the assumptions that move it most: each
/// at both ends of the 90 % range of PlanOptions' uncertainty (bake::Uncertainty), two predictions each. Nothing where nothing
/// was tried, or no confidence asked.
/// @throws InputError for records or options with problems; SolveError
[[nodiscard]] std::optional<LikeliestCycle> likeliest_cycle(const PlanTask& task, const PlanOptions& options, const Plan& plan);

}  // namespace bakewright::plan
