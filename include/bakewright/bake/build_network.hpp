// SPDX-License-Identifier: Apache-2.0
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

/// A shell in its booth as a network, with what drives it: a cycle, or what was logged.
struct DrivenNetwork {
    BuiltNetwork built;
    std::vector<thermal::Segment> segments;
};

/// Builds the network of a shell in a booth, with what was learned of both in its numbers; its factors stay 1.
/// @param air_start_k  of air, walls and ceiling, where they are solved for; the floor starts at the ambient, or there if that is
///                     colder
/// @param surfaces  measured ones, in place of their balances
/// @param doorway_w_per_k  of doorway_loss_w_per_k(); above 0 air that is given is a node: it follows what is given while the
/// doors
///                         are shut, and comes back to it within seconds
/// Promise: the records have no problems.
[[nodiscard]] BuiltNetwork build_network(const Shell& shell, const Booth& booth, const PredictOptions& options, BoothAir air,
                                         double air_start_k, const SurfaceTraces& surfaces = {}, double doorway_w_per_k = 0.0);

/// What open doors take from the booth's air over its rise above the room, where a stage has them open [W/K]; else 0.
[[nodiscard]] double doorway_loss_w_per_k(const Booth& booth, const std::vector<ResolvedStage>& stages) noexcept;

/// What the cycle sets, stage by stage; goes on for after_s with the last set point. Times are those of resolve(cycle, booth).
[[nodiscard]] std::vector<thermal::Segment> cycle_segments(const BuiltNetwork& built, const Booth& booth, const Cycle& cycle,
                                                           const std::vector<ResolvedStage>& stages, double after_s);

/// A measured air trace (usable samples only) as given temperature, a segment between each two samples: every corner of the trace
/// is a stop. Fans run as in bake mode, or as the stages say where some are given; before the first and after the last as in
/// those. Surfaces are the ones the network was built with; between their usable samples they go in straight lines.
[[nodiscard]] std::vector<thermal::Segment> replay_segments(const BuiltNetwork& built, const Booth& booth, const Trace& air,
                                                            const SurfaceTraces& surfaces = {},
                                                            const std::vector<ResolvedStage>& stages = {});

/// Measured walls as all that drives a network, where nobody logged the air: it is solved for between them and the shell, in a
/// booth without heat whose set point stands at the ambient at every sample of the walls.
struct SurfaceDrive {
    Booth booth;     ///< to build the network with, for BoothAir::solved
    Trace setpoint;  ///< to give replay_segments() in place of the air
};
/// Promise: the walls were measured, two usable samples or more.
[[nodiscard]] SurfaceDrive drive_by_surfaces(const Booth& booth, const SurfaceTraces& surfaces);

}  // namespace bakewright::bake
