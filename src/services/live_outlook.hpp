// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "bakewright/report/live.hpp"
#include "bakewright/services/stored_bake.hpp"
#include "bakewright/tune/forecast.hpp"

namespace bakewright::services {

/// What of a bake is judged: coated zones and items that the model has.
[[nodiscard]] std::vector<std::string> coated_of(const StoredBake& bake, const tune::Forecast& forecast);
[[nodiscard]] std::vector<cure::HeatSensitiveItem> items_of(const StoredBake& bake, const tune::Forecast& forecast);

/// Why there is no minute for heat off where so long a time of heat does not do. @param ahead_s  that was looked ahead
[[nodiscard]] std::string no_heat_off_text(double ahead_s);

/// Fills in what a forecast says of a bake, judged: phase, places, heat off, off now, remarks.
/// @param bake  with shell, booth and coating @return the members' courses with the heat on @throws SolveError
tune::ForecastTraces fill_state(report::LiveState& state, const StoredBake& bake, const tune::Forecast& forecast);

}  // namespace bakewright::services
