#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/cycle.hpp"
#include "bakewright/bake/learned.hpp"
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

struct NetworkFactor {
    FactorKind kind = FactorKind::film;
    std::string subject;  ///< empty where there is but one
    thermal::FactorIndex index = thermal::kNoFactor;
    std::string film_group;  ///< of a film: zones whose coefficient is tuned together; "booth wall" for the walls
};

/// The booth's side of a network whose air is solved for: what its heat accounts are read from.
struct BuiltBooth {
    thermal::Place air{}, wall{}, sensor{};
    thermal::AccountIndex burner = thermal::kNoAccount;
    thermal::AccountIndex make_up =
        thermal::kNoAccount;  ///< heat brought by fresh air; below 0 where it is colder than the booth
    thermal::AccountIndex wall_loss = thermal::kNoAccount;  ///< heat through the walls to the outside
};

/// A shell in its booth as a network, with the way back from places to names.
struct BuiltNetwork {
    thermal::Network network;
    std::vector<TraceOrigin> origins;
    std::vector<SplitZone> splits;
    std::vector<NetworkFactor> factors;
    thermal::AccountIndex convection = thermal::kNoAccount;
    thermal::AccountIndex radiation = thermal::kNoAccount;
    thermal::AccountIndex infrared = thermal::kNoAccount;
    std::vector<std::string> infrared_zones;  ///< zone of each source, in the order of Segment::source_w
    std::vector<double> infrared_area_m2;     ///< absorptance times area of each source
    std::optional<BuiltBooth> booth;          ///< where the booth's air is solved for
};

/// Zones whose film is tuned together; where the shell names no group, those that lie alike: "upright", "facing up", "facing
/// down".
[[nodiscard]] std::string film_group_of(const Zone& zone);
inline constexpr const char* kBoothWallGroup = "booth wall";

/// What drives the booth's side of a network.
enum class BoothAir {
    given,            ///< boundary 0 is the reference air; the walls follow it at the booth's own distance
    given_with_wall,  ///< boundary 0 is the reference air, boundary 1 the walls
    solved            ///< boundary 0 is the set point, boundary 1 the outside; air, walls and burner are solved for
};

/// Whether the booth's air is solved for: an ideal controller's air is where the set point is, any other's is not.
[[nodiscard]] BoothAir booth_air_of(const Booth& booth) noexcept;

/// Builds the network of a shell in a booth, with what was learned of both in its numbers; its factors stay 1. @param air_start_k
/// of air and walls, where they are solved for Promise: the records have no problems.
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
