#pragma once

#include <string>
#include <string_view>

#include "bakewright/plan/feasible_map.hpp"
#include "bakewright/report/json.hpp"
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

}  // namespace bakewright::report
