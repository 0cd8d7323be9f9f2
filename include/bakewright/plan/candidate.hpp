// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/cure/verdict.hpp"
#include "bakewright/plan/margins.hpp"

/// What one cycle of a search comes to.
namespace bakewright::plan {

/// Heat a cycle costs, from its start until the burner is off for the cool-down [J].
struct Energy {
    enum class Counts {
        burner,               ///< heat from the burner: the booth's air is solved for
        shell_walls_and_air,  ///< heat into shell, walls, outside and fresh air, by the booth's own numbers
        shell                 ///< heat into the shell alone: the booth's profile does not tell how much fresh air it bakes with
    } counts = Counts::shell;
    double total_j = 0.0;
    double shell_j = 0.0;      ///< stored in shell, cavities and items when the burner goes off
    double walls_j = 0.0;      ///< through the walls and stored in them; 0 where not counted
    double fresh_air_j = 0.0;  ///< to warm fresh air to the booth's, and the booth's own air; 0 where not counted

    bool operator==(const Energy&) const = default;
};

/// An earlier coat on one zone that a cycle over-bakes, or may.
struct CoatOverBaked {
    std::string coat, zone;
    cure::Word word = cure::Word::over;  ///< or check
    /// Of its longest time, as a dose at the careful end of the band; 0 without one.
    double share_before = 0.0, share_after = 0.0;
    double peak_k = 0.0;
    std::optional<double> absolute_maximum_k;
};

/// Ramps that are free are tried so far apart: what can be set at the booth. Common practice, no source.
inline constexpr double kRampStepKPerS = 0.25 / kSecondPerMinute;

/// One set point tried, with one ramp.
struct Candidate {
    double setpoint_k = 0.0;
    double ramp_k_per_s = 0.0;     ///< of the air; ramps take whole minutes, so that it may rise a little more slowly
    std::optional<double> hold_s;  ///< shortest hold, in whole minutes, that cures every coated zone; absent where none
                                   ///< up to the longest does
    double booth_time_s = 0.0;     ///< whole cycle to handling temperature; of the longest hold where hold_s is absent
    /// Flash-off, heating rate, earlier coats and bonds are, and nothing is hotter than the sheet speaks of.
    bool is_kept = false;
    bool feasible = false;         ///< that, cured, nothing over, no limit passed or near; as sure as asked
    std::optional<double> chance;  ///< that the cycle does, where confidence was asked and the middle of the model does
    bool unsure = false;           ///< the middle of the model does, but no hold is as sure as was asked
    Energy energy;                 ///< of that cycle
    double margin_k = 0.0;         ///< smallest of its Margins; only where feasible
    /// Largest share that this bake alone uses of the longest time of a coat or of an item's lifetime limit.
    double largest_use = 0.0;
    std::vector<cure::ZoneVerdict> bad_zones;     ///< at that hold: zones that are not GOOD
    std::vector<cure::ItemVerdict> bad_items;     ///< at that hold: items that are not GOOD
    std::vector<CoatOverBaked> bad_coats;         ///< earlier coats that would be over-baked
    std::optional<LargestDifference> difference;  ///< across a bond; absent where the shell has none
    bool difference_is_too_large = false;
    std::vector<cure::HeatWarning> warnings;  ///< heating rate not kept
};

/// A hotter set point must save more than this share of the booth time to be worth its heat. Common practice, no source.
inline constexpr double kNearlyShortest = 0.03;
/// A longer cycle must gain more margin than this to be worth its time [K]. Common practice: a probe tells no less.
inline constexpr double kNearlyWidestK = 0.1;

}  // namespace bakewright::plan
