// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "bakewright/cure/history.hpp"

namespace bakewright::cure {

/// Judges every coat on every one of its zones, and every item, over all bakes.
/// @param near_k  as judge_item()
/// @throws InputError where problems_in(history) is not empty
[[nodiscard]] ShellVerdict judge_history(const ShellHistory& history, double near_k = kItemMarginK);

}  // namespace bakewright::cure
