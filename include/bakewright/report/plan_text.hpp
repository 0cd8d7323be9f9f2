#pragma once

#include <string>

#include "bakewright/plan/plan.hpp"
#include "bakewright/report/text.hpp"

namespace bakewright::report {

/// The planned cycle, its verdict and the set points tried; or which zone and which item stand against each other. A plan that is
/// not GOOD, or open to a question, says so first.
/// @param booth_purges  the booth sees to its vapour purge itself
[[nodiscard]] std::string plan_text(const plan::Plan& plan, const TextOptions& options, bool booth_purges = false);

/// One sentence or a few: why no cycle was found. Names the coolest set point that cures and what gets too hot there, and the
/// hottest that spares everything and what stays uncured there.
[[nodiscard]] std::string conflict_sentences(const plan::Plan& plan, const Units& units);

}  // namespace bakewright::report
