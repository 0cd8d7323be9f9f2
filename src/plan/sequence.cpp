// SPDX-License-Identifier: Apache-2.0
#include "bakewright/plan/sequence.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <deque>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/judge_history.hpp"

namespace bakewright::plan {
namespace {

void refuse_names(const std::vector<SequenceCoat>& coats, const cure::ShellHistory& history) {
    if (coats.empty()) throw InputError(Problem{{}, 0, "coats", "is empty: name at least one coating"});
    for (auto coat = coats.begin(); coat != coats.end(); ++coat) {
        const auto same = [&](const auto& other) { return other.name == coat->name; };
        if (std::any_of(coats.begin(), coat, same) || std::any_of(history.coats.begin(), history.coats.end(), same))
            throw InputError(Problem{{}, 0, "coats", fmt::format("the name '{}' comes twice", coat->name)});
    }
}

class SequencePlanner {
public:
    SequencePlanner(const PlanTask& task, const std::vector<SequenceCoat>& coats, const cure::ShellHistory& history)
        : task_(task), coats_(coats), start_(history) {
        for (const cure::HeatSensitiveItem& item : task.items) items_.push_back(item.name);
    }

    SequencePlan run(const PlanOptions& options) const {
        SequencePlan made;
        cure::ShellHistory history = start_;
        put_items(history);
        std::deque<TraceSet> traces;  // a history keeps pointers to them
        for (const SequenceCoat& coat : coats_) {
            const SoFar had = so_far(history, task_.items);
            SequenceBake bake{coat.name, plan_cycle({task_.shell, task_.booth, coat.coating, task_.items, &had}, options), {}};
            made.complete = bake.plan.complete;
            made.feasible = bake.plan.feasible;
            if (made.feasible) {
                traces.push_back(bake.plan.prediction.traces);
                history = with_bake(std::move(history), coat, traces.back());
                bake.after = cure::judge_history(history);
            }
            made.bakes.push_back(std::move(bake));
            if (!made.feasible || !made.complete) break;
        }
        return made;
    }

private:
    void put_items(cure::ShellHistory& history) const {
        for (const cure::HeatSensitiveItem& item : task_.items) {
            const auto same = [&](const cure::HeatSensitiveItem& one) { return one.name == item.name; };
            if (std::none_of(history.items.begin(), history.items.end(), same)) history.items.push_back(item);
        }
    }

    cure::ShellHistory with_bake(cure::ShellHistory history, const SequenceCoat& coat, const TraceSet& traces) const {
        const std::size_t before = history.coats.size();
        history = after(std::move(history),
                        {traces, coat.coating, task_.shell.coated_place_names(), items_, "the bake of " + coat.name});
        if (history.coats.size() > before) history.coats.back().name = coat.name;
        return history;
    }

    const PlanTask& task_;
    const std::vector<SequenceCoat>& coats_;
    const cure::ShellHistory& start_;
    std::vector<std::string> items_;
};

}  // namespace

SequencePlan plan_sequence(const PlanTask& task, const PlanOptions& options, const std::vector<SequenceCoat>& coats,
                           const cure::ShellHistory& history) {
    refuse_names(coats, history);
    const SequencePlanner planner(task, coats, history);
    SequencePlan asked = planner.run(options);
    if (asked.feasible || !asked.complete || asked.bakes.size() < 2) return asked;
    PlanOptions sparing = options;
    sparing.objective = Objective::least_use;
    SequencePlan spared = planner.run(sparing);
    if (!spared.feasible) return asked;
    spared.is_sparing = true;
    return spared;
}

}  // namespace bakewright::plan
