#pragma once

#include <optional>
#include <string>

#include "bakewright/plan/plan.hpp"
#include "bakewright/shop/shell_history.hpp"

namespace bakewright::shop {

/// The history of a shell of the book, for a plan: what coats and items have had so far, and what they have after a planned bake.
class PlanHistory {
public:
    /// @param without  a bake that is not over, and that the plan is about
    /// @throws InputError where the book knows no coat and no bake of the shell, or the history cannot be
    PlanHistory(book::Book& book, const std::string& shell, const std::vector<cure::HeatSensitiveItem>& items,
                std::optional<book::BakeId> without = std::nullopt);

    [[nodiscard]] const plan::SoFar& so_far() const noexcept { return so_far_; }
    [[nodiscard]] cure::ShellVerdict after(const plan::PlannedBake& bake) const;
    [[nodiscard]] const cure::ShellHistory& history() const noexcept { return loaded_.history; }

private:
    LoadedHistory loaded_;
    plan::SoFar so_far_;
};

[[nodiscard]] std::vector<std::string> names_of(const std::vector<cure::HeatSensitiveItem>& items);

}  // namespace bakewright::shop
