#pragma once

#include "setpoint_run.hpp"

namespace bakewright::plan {

/// What the last bake of a run costs.
[[nodiscard]] Energy energy_of(const SetpointRun& run, const Settings& set);

}  // namespace bakewright::plan
