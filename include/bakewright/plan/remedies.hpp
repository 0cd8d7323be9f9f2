// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/plan/plan.hpp"

namespace bakewright::plan {

/// What could be changed so that a cycle does both.
enum class RemedyKind {
    longer_hold,  ///< lower set point and a longer hold
    take_out,     ///< a loose item leaves the shell
    shield_item,  ///< a loose item behind a shield
    baffle_zone,  ///< less air at the zone an item is fixed to
    mask_zone,    ///< paper over a bare zone an item is fixed to: a still layer of air, and less radiation
    bake_apart,   ///< the zone that is cured last comes off and is baked by itself; the two bakes together
    fan_at_zone,  ///< more air at the zone that is cured last
    stir_air,     ///< mixing fans against the difference between floor and ceiling
    slower_ramp,  ///< a slower rise of the air, where a bond is strained or a face rises too fast
    warm_start    ///< the shell warmed through before the coat
};

/// Assumed strength of the remedies. Common practice, no source; measure yours.
inline constexpr double kLongestRemedyHoldS = 10.0 * kSecondPerHour;
inline constexpr double kShieldShare = 0.25;   ///< of the heat that a shield lets through
inline constexpr double kBaffleShare = 0.6;    ///< of the film coefficient behind a baffle
inline constexpr double kFanShare = 1.6;       ///< of the film coefficient in front of a fan
inline constexpr double kStirredShare = 0.25;  ///< of the difference between floor and ceiling that mixing fans leave
inline constexpr double kSlowestRampKPerS = 0.5 / kSecondPerMinute;
inline constexpr double kWarmStartK = 15.0;  ///< warmer than the shell would have been
inline constexpr double kWarmestStartK = celsius_to_kelvin(45.0);

/// One change, tried in the model.
struct Remedy {
    RemedyKind kind = RemedyKind::longer_hold;
    std::string subject;  ///< zone or item; empty for the whole bake
    bool feasible = false;
    double setpoint_k = 0.0, hold_s = 0.0, booth_time_s = 0.0;  ///< of the cycle it allows
    /// How far apart the two sides are still: lowest set point that cures less the highest that spares; absent where it does not
    /// cure or spare at any.
    std::optional<double> gap_k;
};

/// Tries each change alone, those that help first: feasible ones by booth time, then by the gap they leave. Changes that do not
/// apply (no loose item, air that is mixed already) are not in the list.
/// @param plan  what was planned for the task, infeasible
/// @throws InputError for records or options with problems; SolveError
[[nodiscard]] std::vector<Remedy> remedies(const PlanTask& task, const PlanOptions& options, const Plan& plan);

/// A plan for a shell some of whose loose items are taken out.
struct PlanWithout {
    Plan plan;
    std::vector<std::string> out;                ///< what comes out; empty where all may stay
    bake::Shell shell;                           ///< as it is baked
    std::vector<cure::HeatSensitiveItem> items;  ///< aboard
};

/// Plans with everything aboard; where nothing does, takes out loose items (in a cavity or the booth; what is fixed to a zone
/// stays) that stand against it, but none of `keep`, and plans anew; then puts back, one after the other, what may stay after
/// all. No item that is out could stay with the others as they are.
/// @throws InputError where `keep` names an item that is not in the shell; as plan_cycle()
[[nodiscard]] PlanWithout plan_keeping(const PlanTask& task, const PlanOptions& options, const std::vector<std::string>& keep);

}  // namespace bakewright::plan
