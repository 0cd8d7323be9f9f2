#pragma once

#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/built_network.hpp"
#include "bakewright/bake/cycle.hpp"
#include "bakewright/bake/shell.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/thermal/network.hpp"

/// The network of a shell in its booth, and what a cycle or a measured air sets from outside.
namespace bakewright::bake {

/// Builds the network of a shell in a booth, with what was learned of both in its numbers; its factors stay 1.
/// @param air_start_k  of air and walls, where they are solved for
/// Promise: the records have no problems.
[[nodiscard]] BuiltNetwork build_network(const Shell& shell, const Booth& booth, const PredictOptions& options, BoothAir air,
                                         double air_start_k);

/// What the cycle sets, stage by stage; goes on for after_s with the last set point. Times are those of resolve(cycle, booth).
[[nodiscard]] std::vector<thermal::Segment> cycle_segments(const BuiltNetwork& built, const Booth& booth, const Cycle& cycle,
                                                           const std::vector<ResolvedStage>& stages, double after_s);

/// A measured air trace (usable samples only) as given temperature, a segment between each two samples: every corner of the trace
/// is a stop. Fans run as in bake mode, or as the stages say where some are given; before the first and after the last as in
/// those.
/// @throws InputError where a wall trace has no sample at one of the air's times.
[[nodiscard]] std::vector<thermal::Segment> replay_segments(const BuiltNetwork& built, const Trace& air, const Trace* wall,
                                                            const std::vector<ResolvedStage>& stages = {});

}  // namespace bakewright::bake
