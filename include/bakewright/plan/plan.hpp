#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/cycle.hpp"
#include "bakewright/bake/predict.hpp"
#include "bakewright/bake/shell.hpp"
#include "bakewright/base/progress.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/cure/judge.hpp"

namespace bakewright::plan {

/// What a plan is made for. Refers to the caller's records, which must outlive the call.
struct PlanTask {
    const bake::Shell& shell;
    const bake::Booth& booth;
    const cure::Coating& coating;
    const std::vector<cure::HeatSensitiveItem>& items;
};

/// What counts as cured in a plan.
enum class CureRule {
    sheet,  ///< every zone stays at a schedule row's temperature for its minimum without a break: the data sheet's own terms
    dose    ///< that, or a dose of 1 at every activation energy of the band
};

/// Bounds and habits of the search. check() refuses values out of range.
struct PlanOptions {
    double lowest_setpoint_k = celsius_to_kelvin(45.0);  ///< common practice: below it a two-component film banks nothing
    std::optional<double> highest_setpoint_k;            ///< the booth's highest where absent
    double setpoint_step_k = 1.0;                        ///< 0.1 to 20: what can be set at the booth
    double longest_hold_s = 4.0 * kSecondPerHour;        ///< 1 min to 48 h
    std::optional<double> flash_off_s;                   ///< the coating's minimum where absent
    double ramp_k_per_s = 2.0 / kSecondPerMinute;        ///< of the air; common practice 1 to 3 K/min in a large booth. Lowered
                                                         ///< to what booth and coating allow
    CureRule rule = CureRule::sheet;                     ///< the maker's data sheet comes first
    double handling_k = celsius_to_kelvin(40.0);         ///< cool until every coated zone is below it; common practice
    bake::PredictOptions predict{.output_interval_s = 30.0};
    Progress progress;  ///< told once a set point
    /// @throws InputError
    void check() const;
};

/// One set point tried.
struct Candidate {
    double setpoint_k = 0.0;
    std::optional<double> hold_s;  ///< shortest hold, in whole minutes, that cures every coated zone; absent where none
                                   ///< up to the longest does
    double booth_time_s = 0.0;     ///< whole cycle to handling temperature; of the longest hold where hold_s is absent
    bool feasible = false;         ///< cured, nothing over, no limit passed or near
    std::vector<cure::ZoneVerdict> bad_zones;  ///< at that hold: zones that are not GOOD
    std::vector<cure::ItemVerdict> bad_items;  ///< at that hold: items that are not GOOD
    std::vector<cure::HeatWarning> warnings;   ///< flash-off and heating rate not kept
};

/// A hotter set point must save more than this share of the booth time to be worth its heat. Common practice, no source.
inline constexpr double kNearlyShortest = 0.03;

/// The answer.
struct Plan {
    bool feasible = false;
    bool complete = true;               ///< false where the listener stopped the search
    std::vector<Candidate> candidates;  ///< by rising set point
    std::optional<std::size_t> best;  ///< index of the chosen one: the coolest that is feasible and within kNearlyShortest of the
                                      ///< shortest feasible
    bake::Cycle cycle;                ///< of the best; empty where infeasible
    bake::Prediction prediction;      ///< of that cycle
    cure::BakeVerdict verdict;        ///< of that prediction
    std::string slowest_zone;         ///< the coated zone that is last to be cured
    /// Where infeasible: the lowest set point that cures every zone, and the highest at which nothing gets too hot (each may be
    /// absent). Their bad_items and bad_zones are the two sides of the conflict.
    std::optional<std::size_t> coolest_that_cures;
    std::optional<std::size_t> hottest_that_spares;
};

/// The cycle flash-off, ramp, hold, cool-down to handling temperature with the least booth time that, by the model, makes every
/// coated zone GOOD, keeps every item GOOD, and keeps flash-off and heating rate. Set points are tried on a grid of what can be
/// set; at each the shortest hold in whole minutes is found by bisection, since a longer hold never shortens a stay or lowers a
/// dose.
/// @throws InputError for records or options with problems; SolveError
[[nodiscard]] Plan plan_cycle(const PlanTask& task, const PlanOptions& options = {});

}  // namespace bakewright::plan
