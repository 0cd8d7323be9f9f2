// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "bakewright/plan/plan.hpp"

namespace bakewright::plan {

/// A coat that is to be sprayed and baked.
struct SequenceCoat {
    std::string name;  ///< unique in the sequence and the history
    cure::Coating coating;
};

/// One bake of a sequence.
struct SequenceBake {
    std::string coat;
    Plan plan;
    cure::ShellVerdict after;  ///< of all coats and items after it; empty where it is not feasible
};

/// A sequence of bakes, each planned over all before it.
struct SequencePlan {
    bool feasible = false;
    bool complete = true;
    /// True where cycles as asked for would have left too little for a later bake, and each bake takes what uses least instead.
    bool is_sparing = false;
    std::vector<SequenceBake> bakes;  ///< in order; ends with the first that is not feasible
};

/// Plans the bakes of coats one after the other, each coat on every coated zone, over what the shell went through already and the
/// bakes before it in the sequence. Where that leaves a coat or an item too little for a later bake, all are planned anew with
/// the cycles that use the smallest share of what coats and items are allowed (Objective::least_use).
/// @param task     its coating is not used
/// @param history  what was before; may be empty
/// @throws InputError for an empty sequence, a name twice, or as plan_cycle()
[[nodiscard]] SequencePlan plan_sequence(const PlanTask& task, const PlanOptions& options, const std::vector<SequenceCoat>& coats,
                                         const cure::ShellHistory& history = {});

}  // namespace bakewright::plan
