// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/built_network.hpp"
#include "bakewright/bake/shell.hpp"
#include "bakewright/thermal/films.hpp"
#include "bakewright/thermal/network.hpp"

namespace bakewright::bake {

enum class FaceSide { outer, inner };
[[nodiscard]] inline const Face& face_of(const Zone& zone, FaceSide side) noexcept {
    return side == FaceSide::outer ? zone.outer : zone.inner;
}

/// How the plane of a face lies.
[[nodiscard]] thermal::FilmModel::Lie lie_of(Orientation orientation, FaceSide side);

/// How one face exchanges heat with what it looks at, per area.
struct FaceExchange {
    thermal::FilmModel film;                            ///< by correlation, unless fixed
    std::optional<double> fixed_film_w_per_m2_k;        ///< a coefficient given by an expert, natural convection included
    thermal::ModeFactors mode_factor{1, 1, 1, 1, 1};    ///< by FanMode: on the forced part, or on the fixed coefficient
    std::array<bool, kFanModeCount> is_mode_learned{};  ///< by FanMode: its factor has an error that ensembles draw
    double emissivity = 0.0;                            ///< 0 to 1, of the face or of what covers it
};

/// What covers a masked face: still air between mask and face, and the mask itself.
struct MaskLayer {
    double still_air_w_per_m2_k = 0.0;
    double heat_capacity_j_per_m2_k = 0.0;
};

/// Film and emissivity of a face that looks at the booth or a cavity.
[[nodiscard]] FaceExchange face_exchange(const Zone& zone, FaceSide side, const Booth& booth, const PredictOptions& options);
/// Speed of air [m/s] that gives a coefficient along a flat side of a vehicle, turbulent from the edge on over kUsualPlateM: what
/// a painter's word for the air means where the film of another shape is asked for.
inline constexpr double kUsualPlateM = 1.5;
[[nodiscard]] double speed_of_coefficient(double film_w_per_m2_k);
/// Film along the booth's own walls.
[[nodiscard]] FaceExchange wall_exchange(const Booth& booth, const PredictOptions& options);
/// Multiplies the film coefficient, by correlation or fixed.
void scale_film(FaceExchange& exchange, double factor);
/// The layer of a masked face; nothing where it is bare.
[[nodiscard]] std::optional<MaskLayer> mask_layer(Masking masking);
/// Film coefficient in bake mode at temperatures in the middle of a ramp [W/(m2 K)], for choosing nodes.
[[nodiscard]] double typical_film_w_per_m2_k(const FaceExchange& exchange);

/// What joins two neighbouring nodes of a stack, per area: conduction, and across an air gap radiation.
struct StackJoint {
    double conductance_w_per_m2_k = 0.0;     ///< across a gap: at typical temperatures
    std::optional<thermal::GapModel> gap{};  ///< what fills it, where it is a gap
    double exchange_factor = 0.0;            ///< grey exchange between parallel faces, 0 where there is no gap
};

/// A zone's stack as nodes through its thickness, outer face first. One node where the whole stack is at one temperature.
struct StackNodes {
    std::vector<double> capacity_j_per_m2_k;
    std::vector<double> along_w_per_k;  ///< of each node: conductivity times thickness, for heat along the zone
    std::vector<StackJoint> between;    ///< one fewer than nodes
    double biot = 0.0;
    std::string reason;
};

/// Chooses the nodes of a zone by the error bound of thermal::split_stack (0.1 K at the faces on the booth's largest ramp), with
/// films and gaps at typical temperatures; air gaps part the stack.
[[nodiscard]] StackNodes split_zone(const Zone& zone, const Booth& booth, const PredictOptions& options);

}  // namespace bakewright::bake
