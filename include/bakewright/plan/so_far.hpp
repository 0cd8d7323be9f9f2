// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "bakewright/base/trace.hpp"
#include "bakewright/cure/history.hpp"

namespace bakewright::plan {

/// What a coat that was there before has had on one zone. Refers to its coating in the history.
struct CoatSoFar {
    std::string coat;
    std::string zone;
    const cure::Coating* coating = nullptr;
    cure::Band over_bake_dose{};  ///< 1 and more: no allowance is left
};

/// What an item has had, limit by limit in the order of the item's: exposure under a lifetime limit; 0 under a limit of one bake.
struct ItemSoFar {
    std::string item;
    std::vector<double> exposed_s;
    std::vector<double> exposed_at_margin_s;  ///< at or above the limit less the 3 K at which a verdict is CHECK
};

/// What a shell went through before the bake that is planned: summed up once, so that a try of the search stays cheap.
struct SoFar {
    std::vector<CoatSoFar> coats;
    std::vector<ItemSoFar> items;

    [[nodiscard]] const ItemSoFar* find_item(const std::string& name) const noexcept;
};

/// What shell and items had before a bake. Refers to the caller's records.
struct PastHeat {
    const SoFar* so_far = nullptr;               ///< earlier coats and items; null: nothing
    const TraceSet* before = nullptr;            ///< the part of this bake that was had; null: none
    std::optional<double> largest_difference_k;  ///< across a bond, where one is asked for
};

/// @param history  without problems; must outlive the result
/// @param items    whose limits the plan keeps: exposure is read at these, not at those kept with earlier bakes
/// @throws InputError where problems_in(history) is not empty
[[nodiscard]] SoFar so_far(const cure::ShellHistory& history, const std::vector<cure::HeatSensitiveItem>& items);

/// An item's verdict of one bake with what it had before: words and readings of lifetime limits are those of the sum.
[[nodiscard]] cure::ItemVerdict with_so_far(cure::ItemVerdict verdict, const ItemSoFar& before);

/// A bake that is to be added to a history.
struct PlannedBake {
    const TraceSet& traces;           ///< must outlive the result of after()
    const cure::Coating& coating;     ///< of the coat that is baked
    std::vector<std::string> coated;  ///< its zones
    std::vector<std::string> items;   ///< aboard
    std::string name = "the planned bake";
};

/// The history with one more bake after all that is in it; with a coat sprayed just before, unless one of this coating that no
/// bake has reached yet is in it already.
[[nodiscard]] cure::ShellHistory after(cure::ShellHistory history, const PlannedBake& bake);

}  // namespace bakewright::plan
