// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "bakewright/report/live.hpp"
#include "bakewright/services/stored_bake.hpp"
#include "bakewright/tune/forecast.hpp"

namespace bakewright::services {

/// Fills in what a forecast says of a bake, judged: phase, places, heat off, off now, remarks.
/// @param bake  with shell, booth and coating @throws SolveError
void fill_state(report::LiveState& state, const StoredBake& bake, const tune::Forecast& forecast);

}  // namespace bakewright::services
