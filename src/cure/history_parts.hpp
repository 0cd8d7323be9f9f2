#pragma once

#include <string>
#include <vector>

#include "bakewright/cure/history.hpp"

namespace bakewright::cure {

/// The coat that went onto a zone next after one; of two at the same time the one listed first. Null where it is the last.
/// @param coat  a member of history.coats
[[nodiscard]] const Coat* next_coat_on(const ShellHistory& history, const Coat& coat, const std::string& zone);

[[nodiscard]] ItemHistoryVerdict judge_item_history(const ShellHistory& history, const HeatSensitiveItem& item, double near_k);
void sort_worst_first(std::vector<ItemHistoryVerdict>& items);
/// Coats and items, worst first.
void put_in_order(ShellVerdict& verdict);
/// A coat that was covered before it was cured is CHECK where it would be GOOD.
void doubt_covered(CoatVerdict& coat);

[[nodiscard]] std::vector<RecoatWarning> recoat_warnings(const ShellHistory& history);
[[nodiscard]] std::vector<CoatHeatWarning> coat_heat_warnings(const ShellHistory& history);

}  // namespace bakewright::cure
