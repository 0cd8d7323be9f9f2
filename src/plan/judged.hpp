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

    [[nodiscard]] bool all_good() const { return verdict.worst() == cure::Word::good && is_kept(); }
    /// Apart from the words: flash-off, heating rate, earlier coats, bonds.
    [[nodiscard]] bool is_kept() const { return verdict.warnings.empty() && coats.empty() && !difference_is_too_large; }
};

/// By the middle of the model. How the heat came on in a bake that is gone on with is past and is not warned of.
[[nodiscard]] Judged judge(const TraceSet& traces, const BakeModel& model, const Demands& demands);
/// Its words by what an ensemble of the same cycle says.
void settle(Judged& judged, const EnsemblePrediction& ensemble);

}  // namespace bakewright::plan
