#include "bakewright/shop/plan_history.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/judge_history.hpp"

namespace bakewright::shop {

PlanHistory::PlanHistory(book::Book& book, const std::string& shell, const std::vector<cure::HeatSensitiveItem>& items,
                         std::optional<book::BakeId> without)
    : loaded_(load_history(book, shell, std::nullopt, without)) {
    if (loaded_.history.coats.empty() && loaded_.history.bakes.empty())
        throw InputError(Problem{{},
                                 0,
                                 "--history",
                                 fmt::format("'{}' has no coat and no bake in this book; `bakewright coat add` and "
                                             "`bakewright history add` enter them",
                                             shell)});
    for (const cure::HeatSensitiveItem& item : items) {
        auto& known = loaded_.history.items;
        const auto same = std::find_if(known.begin(), known.end(), [&](const auto& one) { return one.name == item.name; });
        if (same == known.end())
            known.push_back(item);
        else
            *same = item;
    }
    so_far_ = plan::so_far(loaded_.history, items);
}

cure::ShellVerdict PlanHistory::after(const plan::PlannedBake& bake) const {
    return cure::judge_history(plan::after(loaded_.history, bake));
}

std::vector<std::string> names_of(const std::vector<cure::HeatSensitiveItem>& items) {
    std::vector<std::string> names;
    for (const cure::HeatSensitiveItem& item : items) names.push_back(item.name);
    return names;
}

}  // namespace bakewright::shop
