#include "bakewright/plan/keep.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "bakewright/base/error.hpp"
#include "plan_task.hpp"

namespace bakewright::plan {
namespace {

bool is_loose(const bake::Shell& shell, const std::string& name) {
    return std::any_of(shell.items.begin(), shell.items.end(),
                       [&](const bake::Item& item) { return item.name == name && item.place != bake::Item::Place::zone; });
}

void refuse_unknown(const bake::Shell& shell, const std::vector<std::string>& keep) {
    std::vector<std::string> known;
    for (const bake::Item& item : shell.items) known.push_back(item.name);
    for (const std::string& name : keep) {
        if (stands_in(known, name)) continue;
        throw InputError(
            Problem{{}, 0, "keep", fmt::format("'{}' is no item of shell '{}'{}", name, shell.id, did_you_mean(name, known))});
    }
}

class Keeper {
public:
    Keeper(const PlanTask& task, const PlanOptions& options, const std::vector<std::string>& keep)
        : task_(task), options_(options), keep_(keep) {}

    PlanWithout run() {
        PlanWithout found = without({});
        while (!found.plan.feasible && found.plan.complete) {
            std::vector<std::string> out = found.out;
            for (const std::string& name : in_the_way(found)) out.push_back(name);
            if (out.size() == found.out.size()) return found;
            found = without(out);
        }
        return put_back(std::move(found));
    }

private:
    [[nodiscard]] PlanWithout without(const std::vector<std::string>& out) const {
        PlanWithout made{{}, out, task_.shell, task_.items};
        std::erase_if(made.shell.items, [&](const bake::Item& item) { return stands_in(out, item.name); });
        std::erase_if(made.items, [&](const cure::HeatSensitiveItem& item) { return stands_in(out, item.name); });
        PlanTask task{made.shell, task_.booth, task_.coating, made.items, task_.so_far, task_.before};
        made.plan = plan_cycle(task, options_);
        return made;
    }

    /// The loose items that are not GOOD where every zone is cured; of the coolest such set point.
    [[nodiscard]] std::vector<std::string> in_the_way(const PlanWithout& found) const {
        std::vector<std::string> names;
        // Where the cycle works on best-guess values and is not sure enough: what most often stands against it.
        if (found.plan.likeliest_obstacle) {
            const std::string name = found.plan.likeliest_obstacle->text();
            if (is_loose(task_.shell, name) && !stands_in(keep_, name)) names.push_back(name);
        }
        if (!found.plan.coolest_that_cures) return names;
        for (const cure::ItemVerdict& item : found.plan.candidates[*found.plan.coolest_that_cures].bad_items)
            if (is_loose(task_.shell, item.item) && !stands_in(keep_, item.item) && !stands_in(names, item.item))
                names.push_back(item.item);
        return names;
    }

    [[nodiscard]] PlanWithout put_back(PlanWithout found) const {
        if (!found.plan.feasible || found.out.size() < 2) return found;
        for (const std::string& name : std::vector<std::string>(found.out)) {
            std::vector<std::string> fewer = found.out;
            std::erase(fewer, name);
            PlanWithout tried = without(fewer);
            if (tried.plan.feasible) found = std::move(tried);
        }
        return found;
    }

    const PlanTask& task_;
    const PlanOptions& options_;
    const std::vector<std::string>& keep_;
};

}  // namespace

PlanWithout plan_keeping(const PlanTask& task, const PlanOptions& options, const std::vector<std::string>& keep) {
    refuse_unknown(task.shell, keep);
    return Keeper(task, options, keep).run();
}

}  // namespace bakewright::plan
