// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <algorithm>
#include <array>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/predict.hpp"
#include "bakewright/bake/shell.hpp"
#include "bakewright/base/work.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/plan/chances.hpp"
#include "bakewright/plan/so_far.hpp"

/// What a search is asked: for whom it plans, and within which bounds.
namespace bakewright::plan {

/// What a plan is made for. Refers to the caller's records, which must outlive the call.
struct PlanTask {
    const bake::Shell& shell;
    const bake::Booth& booth;
    const cure::Coating& coating;
    const std::vector<cure::HeatSensitiveItem>& items;
    const SoFar* so_far = nullptr;  ///< what earlier coats and items have had; null: nothing
    /// The bake that the planned one goes on with, up to time 0: what was had counts, an unbroken stay goes on across 0 where the
    /// part stays warm; null: none. Holds every place whose trace is judged.
    const TraceSet* before = nullptr;
};

/// What is sought among the cycles that do.
enum class Objective {
    time,      ///< least time in the booth
    energy,    ///< least heat, see Energy
    margin,    ///< most kelvin to spare, see Margins
    least_use  ///< smallest share of what coats and items are allowed; for a sequence that else runs out, see plan_sequence()
};
/// Those that a plan weighs against each other.
inline constexpr std::array<Objective, 3> kObjectives{Objective::time, Objective::energy, Objective::margin};

/// A set point that is held on the way to the set point that is sought, or after its hold.
struct Step {
    double setpoint_k = 0.0;  ///< 0 to 250 degC
    double hold_s = 0.0;      ///< 1 min to 48 h
    bool operator==(const Step&) const = default;
};

/// Bounds and habits of the search. check() refuses values out of range.
struct PlanOptions {
    Objective objective = Objective::time;
    double lowest_setpoint_k = celsius_to_kelvin(45.0);  ///< common practice: below it a two-component film banks nothing
    std::optional<double> highest_setpoint_k;            ///< the booth's highest where absent
    double setpoint_step_k = 1.0;                        ///< 0.1 to 20: what can be set at the booth
    double shortest_hold_s = kSecondPerMinute;           ///< 1 min to the longest hold; the same as it: the hold is fixed
    double longest_hold_s = 4.0 * kSecondPerHour;        ///< 1 min to 48 h
    std::optional<double> flash_off_s;                   ///< the coating's minimum where absent, see planned_flash_off_s()
    double ramp_k_per_s = 2.0 / kSecondPerMinute;        ///< of the air; common practice 1 to 3 K/min in a large booth. Lowered
                                                         ///< to what booth and coating allow
    std::optional<double> slowest_ramp_k_per_s;   ///< given: the ramp is free from here to ramp_k_per_s, see kRampStepKPerS
    double wait_s = 0.0;                          ///< 0 to 7 days: the booth stands before anything else, its air at ambient
    double purge_s = 0.0;                         ///< 0 to 24 h: fresh air before the burner may light; see purge_time_s()
    std::vector<Step> steps;                      ///< held on the way up; set points under the hottest are not tried
    std::vector<Step> second_holds;               ///< held after the hold that is sought
    std::optional<double> largest_difference_k;   ///< 0.1 to 200: across a bond, see bonded_pairs()
    double handling_k = celsius_to_kelvin(40.0);  ///< cool until every coated zone is below it; common practice
    std::optional<Confidence> confidence;         ///< how sure it is to be; absent: by the middle of the model alone
    std::size_t thread_count = 0;                 ///< 0: one a core. The answer does not depend on it
    bake::PredictOptions predict{.output_interval_s = 30.0};
    Progress progress;  ///< told once a set point, one thread at a time
    /// @throws InputError
    void check() const;
};

/// Flash-off where neither the sheet nor the user says how long: the long end of 0 to 15 min (common practice, no source).
inline constexpr double kFlashOffNotPrintedS = 15.0 * kSecondPerMinute;
/// The flash-off of a planned cycle: as asked; else the coating's minimum, shorter where the purge that follows would pass its
/// maximum; else kFlashOffNotPrintedS. Flash-off and purge are both at ambient, so that the film waits for both.
[[nodiscard]] double planned_flash_off_s(const cure::Coating& coating, const PlanOptions& options);

/// @throws InputError for records or options with problems, and for a shell without a coated zone
void refuse_problems(const PlanTask& task, const PlanOptions& options);
/// The grid of set points [K] that can be set, rising.
[[nodiscard]] std::vector<double> setpoints_to_try(const PlanTask& task, const PlanOptions& options);

[[nodiscard]] inline bool stands_in(const std::vector<std::string>& names, const std::string& name) {
    return std::find(names.begin(), names.end(), name) != names.end();
}

}  // namespace bakewright::plan
