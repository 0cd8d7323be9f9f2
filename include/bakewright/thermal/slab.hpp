// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <vector>

/// Splitting a stack of layers through its thickness into nodes of a network, by an error bound.
namespace bakewright::thermal {

/// One solid layer of a stack. An air gap is no layer: split the stacks on both sides of it, each with the gap's coefficient.
struct StackLayer {
    double thickness_m = 0.0;                    ///< > 0
    double conductivity_w_per_m_k = 0.0;         ///< > 0
    double heat_capacity_j_per_m3_k = 0.0;       ///< density times specific heat, > 0
    double contact_resistance_m2_k_per_w = 0.0;  ///< >= 0, towards the next layer inward; of the last layer not used
};

/// What the stack meets and how closely it is to be followed.
struct SplitRequest {
    double outer_w_per_m2_k = 12.0;            ///< > 0, convection and radiation together
    double inner_w_per_m2_k = 0.0;             ///< >= 0; 0 for a back that is insulated or looks at nothing
    double heating_rate_k_per_s = 3.0 / 60.0;  ///< > 0, fastest ramp of the air; 3 K/min, common practice for large booths
    double air_rise_k = 50.0;                  ///< > 0, of one ramp: 20 to 70 degC, common practice
    double error_bound_k = 0.1;                ///< > 0, on both faces
    std::size_t most_nodes = 40;               ///< >= 2
};

/// Largest Biot number of a body taken as one lump. Source: Incropera et al., 6th ed., section 5.2.
inline constexpr double kLumpedBiotLimit = 0.1;

/// Nodes through a stack, from the outer face to the inner one. The first node is the outer (coated) face, the last one the inner
/// face, unless there is only one; between them nodes lie on layer boundaries and at equal distances in a layer. A node holds the
/// heat capacity of the half cells beside it (vertex-centred). Two nodes stand at one place where a contact resistance parts
/// them.
struct SlabSplit {
    std::vector<double> position_m;                ///< of each node under the outer face
    std::vector<double> heat_capacity_j_per_m2_k;  ///< of each node; adds up to the stack's
    std::vector<double> conductance_w_per_m2_k;    ///< between node i and i + 1
    double biot = 0.0;                             ///< stack_biot()
    double lumped_error_k = 0.0;                   ///< larger face error that a single node would have
    double outer_error_k = 0.0;                    ///< predicted error of the nodes given, at the outer face
    double inner_error_k = 0.0;                    ///< and at the inner face
    bool bound_reached = false;                    ///< false where most_nodes did not suffice
    std::string reason;                            ///< one sentence for people, in mm, K and K/min

    [[nodiscard]] std::size_t node_count() const noexcept { return position_m.size(); }
    [[nodiscard]] bool is_lumped() const noexcept { return position_m.size() == 1; }
};

/// Biot number of a stack: (coefficient of the more strongly heated face) x (resistance from it to the plane no heat crosses
/// while the whole stack warms at one rate): h R h / (h + h_other). This is h L/k for one heated face and h L/(2k) for two alike,
/// the handbook's two cases; contact resistances count.
[[nodiscard]] double stack_biot(std::span<const StackLayer> layers, double outer_w_per_m2_k, double inner_w_per_m2_k);

/// Chooses the nodes. One node where the Biot number is below 0.1 and the predicted error is within the bound; else the fewest
/// found.
///
/// Error predicted for: a stack at rest, the air on both sides (and on the outer side alone) then ramping at
/// heating_rate_k_per_s, and the ramp stopping at any moment up to air_rise_k: the largest error during ramp and hold. Exact
/// side: the Laplace transform of the composite slab (Carslaw & Jaeger, Conduction of Heat in Solids, 2nd ed., section 3.7),
/// inverted by the fixed Talbot method (Abate & Valko, Int. J. Numer. Methods Eng. 60 (2004) 979); the nodes' side: the same
/// chain made of lumps. So both are linear: coefficients do not change. Leaves out: sudden changes of air temperature (a door),
/// where the face error of the first seconds is larger.
/// @param layers  outside first, at least one  @throws PromiseError for values out of the ranges above
[[nodiscard]] SlabSplit split_stack(std::span<const StackLayer> layers, const SplitRequest& request);

/// Larger of both face errors [K] that given nodes would have, by the same prediction. split supplies capacities and
/// conductances.
struct SplitError {
    double outer_k = 0.0;
    double inner_k = 0.0;
};
[[nodiscard]] SplitError predicted_split_error(std::span<const StackLayer> layers, const SlabSplit& split,
                                               const SplitRequest& request);

/// Nodes with a chosen number of cells in each layer; 0 cells lump a layer into the node at its outer boundary.
/// Shapes: cells has one number a layer. Errors and reason are left empty.
[[nodiscard]] SlabSplit split_by_cells(std::span<const StackLayer> layers, std::span<const std::size_t> cells);

}  // namespace bakewright::thermal
