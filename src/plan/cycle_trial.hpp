#pragma once

#include "bakewright/plan/plan.hpp"

namespace bakewright::plan {

/// A cycle of the plan's shape, predicted and judged.
struct Trial {
    bake::Cycle cycle;
    bake::Prediction prediction;
    cure::BakeVerdict verdict;
    double cool_s = 0.0;  ///< from the end of the hold until every coated zone is below handling temperature

    [[nodiscard]] bool cured(CureRule rule) const;
    [[nodiscard]] bool all_good() const;  ///< zones, items and warnings
};

/// Tries cycles for one task.
class TrialRunner {
public:
    TrialRunner(const PlanTask& task, const PlanOptions& options);

    [[nodiscard]] Trial run(double setpoint_k, double hold_s) const;
    /// The same cycle with its cool-down cut to the handling temperature in whole minutes, sampled as finely as asked.
    [[nodiscard]] Trial finish(double setpoint_k, double hold_s, double cool_s) const;
    [[nodiscard]] double begin_of_cool_s(double setpoint_k, double hold_s) const;

private:
    [[nodiscard]] bake::Cycle cycle(double setpoint_k, double hold_s, double cool_s) const;
    [[nodiscard]] Trial judged(bake::Cycle cycle, const bake::PredictOptions& predict) const;
    [[nodiscard]] double cooled_after_s(const Trial& trial, double from_s) const;

    const PlanTask& task_;
    const PlanOptions& options_;
    std::vector<std::string> coated_;
    double start_air_k_ = 0.0;
    double flash_off_s_ = 0.0;
    double ramp_k_per_s_ = 0.0;
};

}  // namespace bakewright::plan
