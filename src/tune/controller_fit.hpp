// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/shell.hpp"
#include "bakewright/tune/empty_run.hpp"

/// The controller of a booth from how its air came to rest.
namespace bakewright::tune {

/// What a steel panel hung free in the middle is: the only shell in an empty booth.
[[nodiscard]] bake::Shell run_panel(const bake::Booth& booth);

/// The booth as it stood while it was logged: outside as it was, set points and ramps as they may be.
[[nodiscard]] bake::Booth as_logged(bake::Booth booth, double outside_k);

struct ControllerFit {
    bake::Controller controller;
    std::vector<BoothNumber> numbers;
    std::vector<std::string> remarks;
    bool tells_offset = false;       ///< somebody said what was set
    double offset_standard_k = 0.0;  ///< of what the sensor reads off the air
};

/// @param booth        with walls, heater and fresh air as they were fitted
/// @param air_lag_s    of the probe in the air
/// @param air_standard_k  of that probe
[[nodiscard]] ControllerFit fit_controller(const bake::Booth& booth, const EmptyRun& run, const RunPhases& phases,
                                           double air_lag_s, double air_standard_k);

}  // namespace bakewright::tune
