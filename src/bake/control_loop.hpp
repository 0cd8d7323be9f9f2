// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "bakewright/bake/booth.hpp"
#include "bakewright/base/fields.hpp"

namespace bakewright::bake {

/// Numbers of the loop of burner, air and sensor that tell how busy it is, from the air alone: walls and shell only calm it.

/// Half the period of an on-off burner, at half load, where it is shortest [s]. The air moves in straight lines of r = power /
/// (2 C); the sensor follows it with the lag tau and turns the burner half a band from the set point. In the steady swing
/// r (H - 2 tau tanh(H / (2 tau))) = band.
[[nodiscard]] double on_off_half_period_s(const Booth& booth) noexcept;

/// Whether an on-off burner would switch faster than every ten seconds, the interval of a prediction's samples. Its mean counts
/// then: power in proportion over its band.
[[nodiscard]] bool switches_too_fast_to_follow(const Booth& booth) noexcept;

/// Adds what is wrong with a controller for its air, burner and sensor: one that would never settle, or only after more swings
/// than anyone would let a booth do. Of an ideal or burner-limited controller nothing is asked.
void check_control_loop(FieldCheck& check, const Booth& booth);

}  // namespace bakewright::bake
