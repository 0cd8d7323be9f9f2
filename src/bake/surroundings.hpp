// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "bakewright/bake/built_network.hpp"
#include "zone_stack.hpp"

namespace bakewright::bake {

/// The booth's air in a network, given or solved for. Adds it to the network it is made with, which must outlive it.
class Surroundings {
public:
    /// @param doorway_w_per_k  0 where the doors stay shut
    Surroundings(BuiltNetwork& built, const Booth& booth, BoothAir air, double air_start_k, double doorway_w_per_k);

    /// The reference air, and the air at a height.
    [[nodiscard]] thermal::Following reference_air() const { return {air_, 1.0, 0.0, thermal::kNoFactor}; }
    [[nodiscard]] thermal::Following air_at(double height_m) const;
    /// A place, with an error of its own that grows with its rise over the ambient.
    [[nodiscard]] thermal::Following with_error(thermal::Following place, thermal::FactorIndex error, double learned_k) const;
    [[nodiscard]] thermal::Place outside() const noexcept { return outside_; }
    /// Walls at their stated distance from air that is so much hotter than the reference air, in full.
    [[nodiscard]] thermal::Following stated_walls(double vertical_offset_k);
    /// A place by how much hotter or colder its height is than another.
    [[nodiscard]] thermal::Following risen_with_height(thermal::Place place, double height_m, double than_m) const;

private:
    void add_solved(thermal::Place setpoint, double air_start_k);
    void add_fresh_air();
    void add_following(double air_start_k);
    void add_doorway(double doorway_w_per_k);
    void add_burner(thermal::Place setpoint, double start_k);
    thermal::Place add_sensor(double start_k);
    void set_control(thermal::Heater& burner) const;
    [[nodiscard]] double learned(LearnedKind kind) const noexcept { return booth_.learned.value(kind); }
    [[nodiscard]] double vertical_offset_k(double height_m) const noexcept;
    [[nodiscard]] thermal::Following shifted(thermal::Place place, double full_offset_k, thermal::FactorIndex factor) const;
    [[nodiscard]] thermal::Following risen(thermal::Place place, double full_offset_k, thermal::FactorIndex factor) const;

    BuiltNetwork& built_;
    const Booth& booth_;
    thermal::Place air_, outside_;
    thermal::Place steady_;  ///< what stated walls lie under: the air, or what it follows while the doors are shut
    thermal::FactorIndex vertical_ = thermal::kNoFactor;
};

/// Adds the convection of one face to a built network, by correlation or fixed.
void add_face_film(BuiltNetwork& built, const FaceExchange& exchange, const thermal::Following& air, thermal::Place node,
                   double area_m2, thermal::AccountIndex account, thermal::FactorIndex factor);

}  // namespace bakewright::bake
