// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/bake/cycle.hpp"
#include "bakewright/bake/predict.hpp"
#include "bakewright/cure/judge.hpp"
#include "bakewright/plan/candidate.hpp"
#include "bakewright/plan/margins.hpp"
#include "bakewright/plan/probe_places.hpp"
#include "bakewright/plan/task.hpp"

namespace bakewright::plan {

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
    /// index; what is likeliest to go wrong there; and where probes would tell most of the hold that is needed.
    std::optional<double> chance;
    std::optional<std::size_t> surest;
    std::optional<Phrase> likeliest_obstacle;
    std::optional<ProbePlaces> probe_places;
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

/// A cycle of the plan's shape that somebody sets by hand, with what it would do.
struct TriedCycle {
    double ramp_k_per_s = 0.0;  ///< of the air: as asked, or lowered to what booth and coating allow
    bake::Cycle cycle;          ///< flash-off, ramp, hold, cool-down until every coated zone is below handling temperature
    bool is_cooled = false;     ///< false where that is never within three hours: the cycle ends there
    bake::Prediction prediction;
    cure::BakeVerdict verdict;         ///< items with what they had before
    std::vector<CoatOverBaked> coats;  ///< earlier coats that would be over-baked, or may be
    Margins margins;
    std::optional<LargestDifference> difference;  ///< across a bond
};

/// Predicts and judges one set point and hold, without any search; with the words by their chance where options.confidence is
/// given.
/// @param setpoint_k  0 to 250 degC, and no more than the booth allows; hold_s: 1 min to 48 h
/// @param options  steps, flash-off, ramp, handling temperature and prediction count; bounds of the search do not
/// @throws InputError for records, options or settings with problems; SolveError
[[nodiscard]] TriedCycle try_cycle(const PlanTask& task, const PlanOptions& options, double setpoint_k, double hold_s);

}  // namespace bakewright::plan
