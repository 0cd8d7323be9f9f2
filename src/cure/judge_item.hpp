#pragma once

#include "bakewright/cure/judge.hpp"

namespace bakewright::cure {

/// Adds what a further bake did to an item: exposure under a lifetime limit adds up, under a limit of one bake the worst bake
/// counts.
void add_bake(ItemVerdict& total, const ItemVerdict& bake);

/// An item that cannot be judged.
[[nodiscard]] ItemVerdict item_not_judged(std::string item, NotJudged why);

}  // namespace bakewright::cure
