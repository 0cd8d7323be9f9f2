#pragma once

#include "bakewright/plan/finish.hpp"
#include "demands.hpp"
#include "setpoint_run.hpp"

namespace bakewright::plan {

/// A bake judged with what the shell had before.
struct Judged {
    cure::BakeVerdict verdict;
    std::vector<CoatOverBaked> coats;
    std::optional<LargestDifference> difference;
    bool difference_is_too_large = false;

    /// Nothing speaks against the cycle. A limit that nobody knows and a flash-off that was asked for make the plan CHECK; no
    /// other cycle would mend them.
    [[nodiscard]] bool all_good() const;
    /// The same apart from the words: heating rate, earlier coats, bonds.
    [[nodiscard]] bool is_kept() const;
};

/// Whether an item's readings speak against a cycle: not where all that is wrong is that a limit of it is not known.
[[nodiscard]] bool stands_against(const cure::ItemVerdict& item);
/// Whether the way the heat came on speaks against a cycle: its rate does.
[[nodiscard]] bool stands_against(const cure::HeatWarning& warning);

/// By the middle of the model. How the heat came on in a bake that is gone on with is past and is not warned of.
[[nodiscard]] Judged judge(const TraceSet& traces, const BakeModel& model, const Demands& demands);
/// Its words by what an ensemble of the same cycle says.
void settle(Judged& judged, const EnsemblePrediction& ensemble);

}  // namespace bakewright::plan
