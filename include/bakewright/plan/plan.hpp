#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/cycle.hpp"
#include "bakewright/bake/predict.hpp"
#include "bakewright/bake/shell.hpp"
#include "bakewright/base/work.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/cure/judge.hpp"
#include "bakewright/plan/bonded.hpp"
#include "bakewright/plan/chances.hpp"
#include "bakewright/plan/energy.hpp"
#include "bakewright/plan/margins.hpp"
#include "bakewright/plan/so_far.hpp"

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

/// An earlier coat on one zone that a cycle over-bakes, or may.
struct CoatOverBaked {
    std::string coat, zone;
    cure::Word word = cure::Word::over;  ///< or check
    double share_before = 0.0,
           share_after = 0.0;  ///< of its longest time, as a dose at the careful end of the band; 0 without one
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
    bool is_kept =
        false;  ///< flash-off, heating rate, earlier coats and bonds are, and nothing is hotter than the sheet speaks of
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

/// The cycle that one objective asks for.
struct Choice {
    Objective objective = Objective::time;
    Candidate candidate;
};

/// The answer.
struct Plan {
    bool feasible = false;
    bool complete = true;  ///< false where the listener stopped the search
    Objective objective = Objective::time;
    std::vector<Candidate> candidates;  ///< by rising set point, then falling ramp, each with its shortest hold
    std::optional<std::size_t> best;    ///< index of the set point that was chosen
    std::optional<Candidate> chosen;    ///< the planned cycle; its hold is longer than candidates[*best]'s where margin is sought
    std::vector<Choice> choices;        ///< what each objective asks for: the trade-off; empty where nothing is feasible
    bake::Cycle cycle;                  ///< of the chosen one; empty where infeasible
    bake::Prediction prediction;        ///< of that cycle
    cure::BakeVerdict verdict;          ///< of that prediction
    Margins margins;                    ///< of that prediction
    std::optional<LargestDifference> difference;  ///< across a bond, of that prediction
    std::string slowest_zone;                     ///< the coated zone that is last to be cured
    /// Where infeasible: the lowest set point that cures every zone, and the highest at which nothing gets too hot (each may be
    /// absent). Their bad_items and bad_zones are the two sides of the conflict.
    std::optional<std::size_t> coolest_that_cures;
    std::optional<std::size_t> hottest_that_spares;
    /// Where confidence was asked: the chance of the chosen cycle, or, where none is sure enough, of the surest candidate, its
    /// index; what is likeliest to go wrong there; and where one probe would teach most of the hold that is needed.
    std::optional<double> chance;
    std::optional<std::size_t> surest;
    std::optional<Phrase> likeliest_obstacle;
    std::vector<ProbePlace> probe_places;
};

/// The cycle flash-off, steps, ramp, hold, second holds, cool-down to handling temperature that, by the model, makes every coated
/// zone GOOD, keeps every item GOOD with what it had before, over-bakes no earlier coat, keeps the heating rate, and of
/// those is the best for the objective:
///  - time: the coolest set point whose booth time is within kNearlyShortest of the shortest;
///  - energy: the set point with the least heat;
///  - least_use: the smallest Candidate::largest_use;
///  - margin: of the cycles within kNearlyWidestK of the widest margin the one that is shortest in the booth.
/// Set points are tried on a grid of what can be set. At each the heat-up is solved once, up to the longest hold; a shorter hold
/// goes on from where it stood, and only what follows is solved anew. The shortest hold in whole minutes is the root of what is
/// lacking to cure (Boost.Math, TOMS 748), since a longer hold never shortens a stay or lowers a dose. Where confidence is asked,
/// an ensemble of each set point that does by the middle of the model tells the shortest hold that is as sure.
/// @throws InputError for records or options with problems; SolveError
[[nodiscard]] Plan plan_cycle(const PlanTask& task, const PlanOptions& options = {});

}  // namespace bakewright::plan
