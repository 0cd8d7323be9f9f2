// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "bakewright/bake/built_network.hpp"
#include "enclosure.hpp"
#include "surroundings.hpp"

namespace bakewright::bake {

/// Where heat is by time t in a half-infinite body of concrete under a film is followed by nodes at these depths [m]: each
/// spacing twice the one above. Against the exact answer (IDBL, equation 5.60) the face is within 0.3 K of a step of 40 K from
/// five minutes to four hours on; a test holds this.
inline constexpr std::array<double, 6> kFloorDepthsM{0.0, 0.008, 0.024, 0.056, 0.12, 0.248};
/// Stone mix concrete. Source: IDBL, table A.3.
inline constexpr double kConcreteConductivityWPerMK = 1.4, kConcreteHeatCapacityJPerM3K = 2300.0 * 880.0;
/// Heat capacity of each node [J/(m2 K)], and conductance to the next [W/(m2 K)]: half cells on either side of a node, the last
/// one as deep again.
struct FloorNodes {
    std::array<double, kFloorDepthsM.size()> capacity_j_per_m2_k{};
    std::array<double, kFloorDepthsM.size() - 1> conductance_w_per_m2_k{};
};
[[nodiscard]] FloorNodes floor_nodes() noexcept;

/// A face of the shell that looks out into the booth.
struct BoothFace {
    thermal::Place node;
    double area_m2 = 0.0;
    double emissivity = 0.0;
    Outlook outlook;
};

/// Walls, ceiling and floor of the booth in a network: by balances of their own, measured, or at a stated distance from the air.
/// Adds them to the network it is made with.
class BoothSurfaces {
public:
    /// @param air  of the same network; both must outlive this
    BoothSurfaces(BuiltNetwork& built, Surroundings& air, const Shell& shell, const Booth& booth, const PredictOptions& options,
                  BoothAir driven, double air_start_k, const SurfaceTraces& logged);

    /// Radiation of all that looks out, and of the surfaces among themselves; once, when all faces are known.
    void add_radiation(const std::vector<BoothFace>& faces);

private:
    enum class Kind { balance, given, stated };
    struct Surface {
        Kind kind = Kind::balance;
        thermal::Place place;
        double height_m = 0.0;  ///< at which it is as hot as it is
    };

    void choose(BoothAir driven, const SurfaceTraces& logged);
    void add_balance(BoothSurface which, const PredictOptions& options, double air_start_k);
    void add_panel(BoothSurface which, double area_m2, double start_k);
    void add_slab(double area_m2, double start_k);
    [[nodiscard]] thermal::Following seen_from(BoothSurface which, double height_m);
    void add_stated(const BoothFace& face);
    void add_to_surfaces(const std::vector<BoothFace>& faces, const std::vector<SeenShares>& views);
    void add_under_shell(const std::vector<BoothFace>& faces, std::vector<SeenShares>& views);
    void add_among_surfaces(const std::array<double, 3>& between_m2);
    Surface& at(BoothSurface which) { return surfaces_[static_cast<std::size_t>(which)]; }

    BuiltNetwork& built_;
    Surroundings& air_;
    const Shell& shell_;
    const Booth& booth_;
    thermal::FactorIndex emissivity_, error_;
    double error_k_ = 0.0;  ///< learned of the surroundings, at the reference rise
    std::array<Surface, kBoothSurfaceCount> surfaces_;
};

}  // namespace bakewright::bake
