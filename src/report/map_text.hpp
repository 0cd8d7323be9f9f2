// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>

#include "bakewright/base/format.hpp"
#include "bakewright/plan/feasible_map.hpp"
#include "bakewright/plan/plan.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/table.hpp"
#include "bakewright/report/text.hpp"

namespace bakewright::report {

/// "feasible", "under", "hot", "both" or "warned".
[[nodiscard]] std::string_view map_cell_name(plan::MapRow::Cell cell) noexcept;

/// Set points from hot to cool, each with the holds that do, what decides them, and a strip of one letter a hold.
[[nodiscard]] std::string map_text(const plan::FeasibleMap& map, const TextOptions& options);
/// One line a cell: set point, hold, answer, and what stands against it.
[[nodiscard]] std::string map_csv(const plan::FeasibleMap& map, const Units& units);
/// Document "bakewright.map", see docs/json.md.
[[nodiscard]] Json document_of(const plan::FeasibleMap& map);

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
