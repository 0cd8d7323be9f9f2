#pragma once

#include <string>
#include <string_view>

#include "bakewright/base/format.hpp"
#include "bakewright/plan/plan.hpp"
#include "bakewright/report/table.hpp"

namespace bakewright::report {

/// "time", "energy" or "margin".
[[nodiscard]] std::string_view objective_name(plan::Objective objective) noexcept;

/// One row an objective: set point, hold, booth time, energy, margin; the one that was sought marked.
[[nodiscard]] Table tradeoff_table(const plan::Plan& plan, const Units& units);

/// "front_cap is 12.3 K colder than frame_posts at 0:31": the largest difference across a bond, in lower case without a full
/// stop.
[[nodiscard]] std::string difference_text(const plan::LargestDifference& difference, const Units& units);

/// What the energy counts: "Energy: heat into the shell, ...".
[[nodiscard]] std::string energy_sentence(const plan::Energy& energy);
/// What the planned cycle has to spare, and whose it is. Empty where nothing is planned.
[[nodiscard]] std::string margin_sentence(const plan::Plan& plan, const Units& units);

}  // namespace bakewright::report
