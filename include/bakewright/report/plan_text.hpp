#pragma once

#include <string>

#include "bakewright/plan/plan.hpp"
#include "bakewright/report/text.hpp"

namespace bakewright::report {

/// The planned cycle, its verdict and the set points tried; or which zone and which item stand against each other.
[[nodiscard]] std::string plan_text(const plan::Plan& plan, const TextOptions& options);

/// One sentence or a few: why no cycle was found. Names the coolest set point that cures and what gets too hot there, and the
/// hottest that spares everything and what stays uncured there.
[[nodiscard]] std::string conflict_sentences(const plan::Plan& plan, const Units& units);

}  // namespace bakewright::report
