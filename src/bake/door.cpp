// SPDX-License-Identifier: Apache-2.0
#include "door.hpp"

#include <algorithm>
#include <cmath>

#include "bakewright/bake/build_network.hpp"
#include "bakewright/thermal/air.hpp"

namespace bakewright::bake {
namespace {

constexpr double kGravityMPerS2 = 9.81;
double heat_flow_w_per_k(const Booth& booth, double inside_k) noexcept {
    const DoorSize door = booth.doorway();
    const thermal::AirProperties cold = thermal::air_properties(booth.ambient_k);
    return doorway_flow_m3_per_s(door.width_m, door.height_m, inside_k, booth.ambient_k) * cold.density_kg_per_m3 *
           cold.specific_heat_j_per_kg_k;
}

}  // namespace

double doorway_flow_m3_per_s(double width_m, double height_m, double inside_k, double outside_k) noexcept {
    const double difference_k = inside_k - outside_k;
    if (!(difference_k > 0.0)) return 0.0;
    const double coefficient = 0.40 + 0.0045 * difference_k;
    const double mean_k = 0.5 * (inside_k + outside_k);
    return coefficient / 3.0 * width_m * height_m * std::sqrt(kGravityMPerS2 * height_m * difference_k / mean_k);
}

double doorway_loss_at_w_per_k(const Booth& booth, double opening_k) noexcept {
    const double walls_w_per_k = kDoorsOpenWallFilmWPerM2K * booth.wall_area_m2;
    const double rise_k = std::max(0.0, opening_k - booth.ambient_k);
    // Where walls and doorway balance: the loss rises with the rise, so the balance is met once.
    double low_k = 0.0, high_k = rise_k;
    for (int halving = 0; halving < 60; ++halving) {
        const double middle_k = 0.5 * (low_k + high_k);
        const bool is_hotter =
            heat_flow_w_per_k(booth, booth.ambient_k + middle_k) * middle_k > walls_w_per_k * (rise_k - middle_k);
        (is_hotter ? high_k : low_k) = middle_k;
    }
    return heat_flow_w_per_k(booth, booth.ambient_k + 0.5 * (rise_k + high_k));
}

double doorway_loss_w_per_k(const Booth& booth, const std::vector<ResolvedStage>& stages) noexcept {
    double loss_w_per_k = 0.0;
    for (const ResolvedStage& stage : stages)
        if (stage.door_open_s > 0.0) loss_w_per_k = std::max(loss_w_per_k, doorway_loss_at_w_per_k(booth, stage.begin_k));
    return loss_w_per_k;
}

}  // namespace bakewright::bake
