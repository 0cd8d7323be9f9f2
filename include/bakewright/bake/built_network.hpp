// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/learned.hpp"
#include "bakewright/bake/shell.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/thermal/network.hpp"

namespace bakewright::bake {

/// What a prediction may be asked beside shell, booth and cycle. check() refuses values out of range.
struct PredictOptions {
    double start_temperature_k = celsius_to_kelvin(20.0);  ///< of the whole shell at time 0
    double output_interval_s = 10.0;                       ///< > 0; samples of the traces
    double after_s = 0.0;                                  ///< >= 0; goes on so long after the cycle's end, set point kept
    double relative_tolerance = 1e-6;                      ///< 1e-12 to 1e-2
    double absolute_tolerance_k = 5e-3;                    ///< 1e-9 to 1
    double film_factor = 1.0;                              ///< > 0; multiplies every film coefficient
    std::map<std::string, double> node_start_k{};  ///< nodes of the network by name that start elsewhere: a bake that goes
                                                   ///< on, from Prediction::node_end_k; unknown names are left out
    /// @throws InputError
    void check() const;
};

/// A zone that was given several nodes through its thickness, and why.
struct SplitZone {
    std::string zone;
    std::size_t nodes = 1;
    double biot = 0.0;
    std::string reason;
};

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
    thermal::AccountIndex burner = thermal::kNoAccount;
    thermal::AccountIndex make_up = thermal::kNoAccount;    ///< heat of fresh air; below 0 where it is colder than the booth
    thermal::AccountIndex wall_loss = thermal::kNoAccount;  ///< heat through walls, ceiling and floor to the outside
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
    std::vector<std::string> infrared_zones;               ///< zone of each source, in the order of Segment::source_w
    std::vector<double> infrared_area_m2;                  ///< absorptance times area of each source
    std::optional<BuiltBooth> booth;                       ///< where the booth's air is solved for
    thermal::AccountIndex surfaces = thermal::kNoAccount;  ///< heat from the air into walls, ceiling and floor
    std::vector<std::size_t> booth_nodes;                  ///< air, surfaces and sensor, where they are solved for
    std::vector<BoothSurface> logged;                      ///< surfaces that are given, from boundary kFirstSurfaceBoundary on
};

/// A drawn error of air or walls is told as 1 + so many kelvins, at the rise at which the booth states its offsets in full, over
/// this: above 0 whatever is drawn.
inline constexpr double kDrawnRiseK = 100.0;

/// Boundaries of a built network: the reference air or the set point, the outside, then the surfaces that are given.
inline constexpr std::size_t kOutsideBoundary = 1, kFirstSurfaceBoundary = 2;

/// The network's factor of a kind and subject; made where it is asked for first.
/// @param film_group  of a film
thermal::FactorIndex factor_of(BuiltNetwork& built, FactorKind kind, const std::string& subject = {},
                               const std::string& film_group = {});

/// Zones whose film is tuned together; where the shell names no group, those that lie alike: "upright", "facing up", "facing
/// down".
[[nodiscard]] std::string film_group_of(const Zone& zone);
inline constexpr const char* kBoothWallGroup = "booth wall";

/// The shortest time constant with which the outer face of a zone can follow what is around it [s]. Of one layer it is
///
///     tau = min(rho c d / (2 h), k rho c / h^2)
///
/// heat from both sides into the whole of it, or one face ahead of a body that conducts poorly; of several layers the outermost
/// alone, heated from outside: min(rho c d / h, k rho c / h^2). h is kStrongestFilmWPerM2K. No measured step of the zone is
/// faster.
[[nodiscard]] double shortest_time_constant_s(const Zone& zone);
/// More than air and walls of a booth give a face together. Common practice, no source: forced air 60, radiation 10.
inline constexpr double kStrongestFilmWPerM2K = 70.0;

/// What drives the booth's side of a network.
enum class BoothAir {
    given,  ///< boundary 0 is the reference air
    solved  ///< boundary 0 is the set point; air and burner are solved for
};

/// Measured temperatures of the booth's surfaces, by BoothSurface; null where there is none.
using SurfaceTraces = std::array<const Trace*, kBoothSurfaceCount>;
/// Those of a log that tell the surface through the whole of an air trace: usable samples from its first minutes to its last
/// ones.
[[nodiscard]] SurfaceTraces surface_traces(const TraceSet& log, const Trace& air);
/// Of a name in a log; nothing where it is no surface's.
[[nodiscard]] std::optional<BoothSurface> booth_surface_of(std::string_view name) noexcept;

/// Whether the booth's air is solved for: an ideal controller's air is where the set point is, any other's is not.
[[nodiscard]] BoothAir booth_air_of(const Booth& booth) noexcept;

}  // namespace bakewright::bake
