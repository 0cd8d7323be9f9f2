#pragma once

#include "bakewright/bake/built_network.hpp"
#include "zone_stack.hpp"

namespace bakewright::bake {

/// The booth's side of a network: its air and walls, given or solved for. Adds them to the network it is made with, which must
/// outlive it.
class Surroundings {
public:
    Surroundings(BuiltNetwork& built, const Booth& booth, const PredictOptions& options, BoothAir air, double air_start_k);

    /// The reference air, and the air at a height.
    [[nodiscard]] thermal::Following reference_air() const { return {air_, 1.0, 0.0, thermal::kNoFactor}; }
    [[nodiscard]] thermal::Following air_at(double height_m) const;
    /// The walls that a face at a height looks at.
    [[nodiscard]] thermal::Following wall_at(double height_m) const;
    [[nodiscard]] thermal::FactorIndex emissivity_factor() const noexcept { return emissivity_; }

private:
    void add_given(BoothAir air);
    void add_solved(double air_start_k);
    void add_walls(const PredictOptions& options, thermal::Place outside);
    void add_fresh_air(thermal::Place outside);
    void add_burner(thermal::Place setpoint, double start_k);
    thermal::Place add_sensor(double start_k);
    void set_control(thermal::Heater& burner) const;
    [[nodiscard]] double learned(LearnedKind kind) const noexcept { return booth_.learned.value(kind); }
    [[nodiscard]] double vertical_offset_k(double height_m) const noexcept;
    [[nodiscard]] double wall_offset_k() const noexcept;  ///< below the air
    [[nodiscard]] thermal::Following shifted(thermal::Place place, double full_offset_k, thermal::FactorIndex factor) const;
    [[nodiscard]] thermal::Following risen(thermal::Place place, double full_offset_k, thermal::FactorIndex factor) const;

    BuiltNetwork& built_;
    const Booth& booth_;
    BoothAir kind_;
    thermal::Place air_, wall_;
    thermal::FactorIndex vertical_ = thermal::kNoFactor, wall_offset_ = thermal::kNoFactor, emissivity_ = thermal::kNoFactor;
};

/// Adds the convection of one face to a built network, by correlation or fixed.
void add_face_film(BuiltNetwork& built, const FaceExchange& exchange, const thermal::Following& air, thermal::Place node,
                   double area_m2, thermal::AccountIndex account, thermal::FactorIndex factor);

}  // namespace bakewright::bake
