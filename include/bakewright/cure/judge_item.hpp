// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "bakewright/cure/rule.hpp"
#include "bakewright/cure/verdict.hpp"

namespace bakewright::cure {

/// Judges one item's trace against its limits.
/// @param near_k  CHECK where a limit would be passed if the item were hotter by so many kelvin; for a never-exceed limit that
///                is a peak within near_k under it. Default 3 K, common practice (probe class and model together)
[[nodiscard]] ItemVerdict judge_item(const Trace& trace, const HeatSensitiveItem& item, double near_k = kItemMarginK);

/// The word of an item's readings: what judge_item() gives, for readings that were changed since.
[[nodiscard]] Word item_word(const ItemVerdict& verdict);

/// Adds what a further bake did to an item: exposure under a lifetime limit adds up, under a limit of one bake the worst bake
/// counts.
void add_bake(ItemVerdict& total, const ItemVerdict& bake);

/// An item that cannot be judged.
[[nodiscard]] ItemVerdict item_not_judged(std::string item, NotJudged why);

/// Puts how sure it is, and with it the word: what is not sure is CHECK.
void settle(ItemVerdict& verdict, Certainty certainty);

}  // namespace bakewright::cure
