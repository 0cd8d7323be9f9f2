// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "bakewright/bake/cycle.hpp"
#include "bakewright/base/trace.hpp"

namespace bakewright::tune {

/// A phase of a bake as the booth's air shows it. until_s >= from_s.
struct PhaseSpan {
    bake::StageKind kind = bake::StageKind::flash_off;
    double from_s = 0.0, until_s = 0.0;
    std::optional<std::size_t> stage{};  ///< of the cycle, by its place among the resolved stages; absent without one
};

/// Recognises flash-off, purge, ramps, holds and cooling from the air so far, so that nobody has to say when they begin: joined
/// end to end from the first usable sample to the last.
///
/// Before the heat comes on nothing in the air tells flash-off from purge: the cycle does, counted from the first sample, or back
/// from where the heat came on once it has. From there the air ramps until it is level for three minutes (0.3 K/min) within 4 K
/// of what the cycle sets, or comes within 1 K of that; it cools once it falls for three minutes and is 3 K under the hold; it
/// ramps again where it rises 2 K over the hold and the cycle has another ramp, or 3 K from the coolest after a fall. Thresholds
/// are common practice, no source: a booth's burner moves its air by more than 0.3 K/min and its controller swings by less than
/// 2 K.
/// @param heat_on_s  as judging finds it (cure::heat_on_s()); absent: not yet
/// @param stages     of the cycle that is set; empty: not known
/// @return empty for an air with fewer than two usable samples
[[nodiscard]] std::vector<PhaseSpan> recognise_phases(const Trace& air, std::optional<double> heat_on_s,
                                                      const std::vector<bake::ResolvedStage>& stages);

/// Rate of change of a trace over so long before a moment, by the least-squares line through its usable samples [K/s]; nothing
/// where there are fewer than three.
[[nodiscard]] std::optional<double> slope_before(const Trace& trace, double time_s, double over_s);
/// Mean of its usable samples over so long before a moment [K]; nothing where there are none.
[[nodiscard]] std::optional<double> mean_before(const Trace& trace, double time_s, double over_s);

/// Over so long the air's rate is read [s], and what is level [K/s]; see recognise_phases().
inline constexpr double kPhaseSlopeOverS = 180.0, kLevelKPerS = 0.3 / 60.0;

}  // namespace bakewright::tune
