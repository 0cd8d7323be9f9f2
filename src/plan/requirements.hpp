// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <map>
#include <string>
#include <vector>

#include "bakewright/cure/rule.hpp"
#include "bakewright/plan/candidate.hpp"
#include "bakewright/plan/finish.hpp"
#include "bakewright/plan/task.hpp"
#include "setpoint_run.hpp"

namespace bakewright::plan {

/// How a bake stands to what is asked of it. spare: 0 or more where everything holds; grows, without jumps, with what there is to
/// spare, in seconds (a kelvin counts as a minute). A root finder wants no more.
struct Standing {
    double spare = 0.0;
    std::string subject;                 ///< zone or item with the least to spare
    cure::Word word = cure::Word::good;  ///< of the subject
};

/// What counts for the cure of a bake that goes on with one that was cut short: its samples from time 0 on.
[[nodiscard]] Trace from_start(const Trace& trace);

/// What a plan asks of a bake, ready to be held against many of them: the readings alone, without doses where none is asked for,
/// words or sentences. All of it is asked of cure/rule.hpp. Refers to task and options.
class Requirements {
public:
    Requirements(const PlanTask& task, const PlanOptions& options, const std::vector<std::string>& coated);

    /// Every coated zone is cured by the sheet's window, in one stay after time 0: the zone that has least.
    [[nodiscard]] Standing cured(const TraceSet& traces) const;
    /// No zone is over-baked, no earlier coat is, no bond is strained by more than allowed, and no item passes a limit or comes
    /// near one: what is hottest against its limit.
    [[nodiscard]] Standing spared(const TraceSet& traces) const;
    /// The earlier coats that a bake over-bakes, or may; the words are those of cure::judge_history().
    [[nodiscard]] std::vector<CoatOverBaked> over_baked(const TraceSet& traces) const;
    /// See Candidate::largest_use.
    [[nodiscard]] double largest_use(const TraceSet& traces) const;
    [[nodiscard]] std::optional<LargestDifference> difference(const TraceSet& traces) const {
        return largest_difference(traces, bonds_);
    }
    [[nodiscard]] bool is_too_large(const std::optional<LargestDifference>& difference) const;

    /// CHECK begins so far under a limit where no chance is known.
    [[nodiscard]] double item_margin_k() const noexcept { return item_margin_k_; }

private:
    [[nodiscard]] double cured_spare(const Trace& schedule) const;
    /// An earlier coat with what its traces are held against.
    struct EarlierCoat {
        const CoatSoFar* had;
        const cure::CoatingCurves* curves;
    };
    void add_earlier_coats(const bake::Shell& shell, const SoFar& so_far);
    void take_coats(Standing& least, const TraceSet& traces) const;
    void take_items(Standing& least, const TraceSet& traces) const;

    const PlanTask& task_;
    double item_margin_k_;
    std::vector<std::string> coated_;
    cure::CoatingCurves curves_;
    std::map<const cure::Coating*, cure::CoatingCurves> earlier_curves_;
    std::vector<EarlierCoat> earlier_;
    std::vector<BondedPair> bonds_;
    std::optional<double> largest_difference_k_;
};

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
[[nodiscard]] Judged judge(const TraceSet& traces, const SearchModel& model, const Requirements& requirements);
/// Its words by what an ensemble of the same cycle says.
void settle(Judged& judged, const EnsemblePrediction& ensemble);

}  // namespace bakewright::plan
