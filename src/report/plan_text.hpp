// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "bakewright/plan/plan.hpp"
#include "bakewright/plan/remedies.hpp"
#include "bakewright/report/text.hpp"

namespace bakewright::report {

/// What keeps a plan that was found from being GOOD, and what is to be answered first; empty for one that is GOOD.
[[nodiscard]] std::vector<std::string> findings_of(const plan::Plan& plan, const Units& units);

/// Why there is no cycle, in a sentence: a flash-off or ramp that the sheet forbids, or no set point that cures and spares.
[[nodiscard]] std::string no_cycle_sentence(const plan::Plan& plan, const Units& units);

/// One sentence or a few: why no cycle was found. Names the coolest set point that cures and what gets too hot there, and the
/// hottest that spares everything and what stays uncured there.
[[nodiscard]] std::string conflict_sentences(const plan::Plan& plan, const Units& units);

[[nodiscard]] std::string_view remedy_name(plan::RemedyKind kind) noexcept;  ///< "longer_hold", ...
/// What the change is, as a person would say it: "aim a fan at rocker_panels (1.6 times the air heating)".
[[nodiscard]] std::string remedy_sentence(const plan::Remedy& remedy, const Units& units);
/// What would make a cycle possible, or bring it nearer, best first; each was tried in the model.
[[nodiscard]] std::string remedies_text(const std::vector<plan::Remedy>& remedies, const TextOptions& options);

}  // namespace bakewright::report
