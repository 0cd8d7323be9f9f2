#pragma once

#include <optional>
#include <vector>

#include "bakewright/plan/plan.hpp"

namespace bakewright::plan {

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
