#pragma once

#include <string>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/cycle.hpp"
#include "bakewright/bake/predict.hpp"
#include "bakewright/bake/shell.hpp"
#include "bakewright/thermal/network.hpp"

namespace bakewright::bake {

/// Where a trace of the prediction is read from.
struct TraceOrigin {
    std::string name;
    TraceRole role = TraceRole::zone;
    thermal::Following at;
};

/// A shell in its booth as a network, with the way back from places to names.
struct BuiltNetwork {
    thermal::Network network;
    std::vector<TraceOrigin> origins;
    std::vector<SplitZone> splits;
    thermal::AccountIndex convection = thermal::kNoAccount;
    thermal::AccountIndex radiation = thermal::kNoAccount;
    thermal::AccountIndex infrared = thermal::kNoAccount;
    std::vector<std::string> infrared_zones;  ///< zone of each source, in the order of Segment::source_w
    std::vector<double> infrared_area_m2;     ///< absorptance times area of each source
};

/// Whether the walls follow the air (the booth's own offset) or have a temperature of their own that is given.
enum class WallSource { follows_air, given };

/// Builds the network of a shell in a booth. Boundary 0 is the booth's reference air; boundary 1 the walls where they are given.
/// Promise: the records have no problems.
[[nodiscard]] BuiltNetwork build_network(const Shell& shell, const Booth& booth, const PredictOptions& options, WallSource walls);

/// What the cycle sets, stage by stage, for an ideal booth, whose air is where the set point is; goes on for after_s with the
/// last set point. Times are those of resolve(cycle, booth).
[[nodiscard]] std::vector<thermal::Segment> cycle_segments(const BuiltNetwork& built, const Cycle& cycle,
                                                           const std::vector<ResolvedStage>& stages, double after_s);

/// A measured air trace (usable samples only) as given temperature, a segment between each two samples: every corner of the trace
/// is a stop. @throws InputError where a wall trace has no sample at one of the air's times.
[[nodiscard]] std::vector<thermal::Segment> replay_segments(const BuiltNetwork& built, const Trace& air, const Trace* wall);

}  // namespace bakewright::bake
