// SPDX-License-Identifier: Apache-2.0
#include "surroundings.hpp"

#include <algorithm>
#include <string>

#include "bakewright/thermal/air.hpp"
#include "control_loop.hpp"
#include "door.hpp"

namespace bakewright::bake {
namespace {

using thermal::Following;
using thermal::Place;

/// Heat capacity [J/K] that stands for a control sensor: so little that what it takes from the air does not show.
constexpr double kSensorHeatCapacityJPerK = 1.0;
/// A burner-limited controller goes from nothing to full power over so much of an error [K]: less than a bake is solved to.
constexpr double kIdealBandK = 0.01;
constexpr thermal::ModeFactors kDoorsOpenAlone{0.0, 0.0, 0.0, 0.0, 1.0};

}  // namespace

void add_face_film(BuiltNetwork& built, const FaceExchange& exchange, const Following& air, Place node, double area_m2,
                   thermal::AccountIndex account, thermal::FactorIndex factor) {
    thermal::ModeFactorIndices by_mode = thermal::kNoModeFactors;
    for (std::size_t m = 0; m < kFanModeCount; ++m)
        if (exchange.is_mode_learned[m])
            by_mode[m] = factor_of(built, FactorKind::mode_film, std::string(word_of(static_cast<FanMode>(m))));
    if (exchange.fixed_film_w_per_m2_k)
        built.network.add_film({.air = air,
                                .node = node,
                                .conductance_w_per_k = *exchange.fixed_film_w_per_m2_k * area_m2,
                                .mode_factor = exchange.mode_factor,
                                .account = account,
                                .factor = factor,
                                .factor_by_mode = by_mode});
    else
        built.network.add_convection({.air = air,
                                      .node = node,
                                      .area_m2 = area_m2,
                                      .film = exchange.film,
                                      .forced_factor = exchange.mode_factor,
                                      .account = account,
                                      .factor = factor,
                                      .factor_by_mode = by_mode});
}

Surroundings::Surroundings(BuiltNetwork& built, const Booth& booth, BoothAir air, double air_start_k, double doorway_w_per_k)
    : built_(built), booth_(booth) {
    vertical_ = factor_of(built_, FactorKind::vertical_profile);
    built_.convection = built_.network.add_account("convection");
    built_.radiation = built_.network.add_account("radiation");
    built_.infrared = built_.network.add_account("infrared");
    const Place first = built_.network.add_boundary(air == BoothAir::solved ? "set point" : "booth air");
    outside_ = built_.network.add_boundary("outside");
    if (air == BoothAir::solved)
        add_solved(first, air_start_k);
    else
        air_ = first;
    steady_ = air_;
    if (air == BoothAir::given && doorway_w_per_k > 0.0) add_following(air_start_k);
    if (doorway_w_per_k > 0.0) add_doorway(doorway_w_per_k);
    built_.origins.push_back({"booth air", TraceRole::booth_air, reference_air()});
}

/// A place shifted in proportion to its rise over the ambient.
Following Surroundings::shifted(Place place, double full_offset_k, thermal::FactorIndex factor) const {
    const double share = full_offset_k / booth_.rise_of_full_offset_k();
    return {place, 1.0 + share, -share * booth_.ambient_k, factor};
}

/// The same, where and while the place has risen by heat: a booth that is colder than its surroundings, or not heated, has no
/// place that is hotter or colder than its air.
Following Surroundings::risen(Place place, double full_offset_k, thermal::FactorIndex factor) const {
    Following following = shifted(place, full_offset_k, factor);
    if (full_offset_k != 0.0) following.above_k = booth_.ambient_k;
    return following;
}

double Surroundings::vertical_offset_k(double height_m) const noexcept {
    return booth_.vertical_offset_k(height_m) * learned(LearnedKind::vertical_profile);
}

Following Surroundings::air_at(double height_m) const { return risen(air_, vertical_offset_k(height_m), vertical_); }

Following Surroundings::with_error(Following place, thermal::FactorIndex error, double learned_k) const {
    const double share = learned_k / booth_.rise_of_full_offset_k();
    place.gain += share;
    place.offset_k -= share * booth_.ambient_k;
    place.drawn = error;
    place.drawn_gain = kDrawnRiseK / booth_.rise_of_full_offset_k();
    place.above_k = booth_.ambient_k;
    return place;
}

Following Surroundings::risen_with_height(Place place, double height_m, double than_m) const {
    return risen(place, vertical_offset_k(height_m) - vertical_offset_k(than_m), vertical_);
}

Following Surroundings::stated_walls(double vertical_offset_k) {
    // One factor stands for the wall's whole distance from the reference air, its vertical part included.
    const double offset_k = vertical_offset_k - booth_.wall_offset_below_air_k();
    return risen(steady_, offset_k * learned(LearnedKind::wall_offset), factor_of(built_, FactorKind::wall_offset));
}

void Surroundings::add_solved(Place setpoint, double air_start_k) {
    air_ = built_.network.add_node("booth air", kAirHeatCapacityJPerM3K * booth_.volume_m3, air_start_k);
    built_.booth_nodes.push_back(air_.index);
    built_.booth.emplace();
    built_.booth->burner = built_.network.add_account("burner");
    built_.booth->make_up = built_.network.add_account("fresh air");
    built_.booth->wall_loss = built_.network.add_account("wall loss");
    add_burner(setpoint, air_start_k);
    add_fresh_air();
}

/// Fresh air drives out as much booth air: both are well mixed, so the exchange is a conductance to the outside.
void Surroundings::add_fresh_air() {
    double largest_m3_per_s = 0.0;
    for (const Ventilation& mode : booth_.ventilation) largest_m3_per_s = std::max(largest_m3_per_s, mode.make_up_m3_per_s);
    if (largest_m3_per_s <= 0.0) return;
    const thermal::AirProperties fresh = thermal::air_properties(booth_.ambient_k);
    thermal::Film exchange{.air = {outside_, 1.0, 0.0, thermal::kNoFactor},
                           .node = air_,
                           .conductance_w_per_k = largest_m3_per_s * learned(LearnedKind::make_up) * fresh.density_kg_per_m3 *
                                                  fresh.specific_heat_j_per_kg_k,
                           .account = built_.booth->make_up,
                           .factor = factor_of(built_, FactorKind::make_up)};
    for (std::size_t m = 0; m < kFanModeCount; ++m)
        exchange.mode_factor[m] = booth_.ventilation[m].make_up_m3_per_s / largest_m3_per_s;
    exchange.mode_factor[kDoorsOpenMode] = exchange.mode_factor[static_cast<std::size_t>(FanMode::bake)];
    built_.network.add_film(exchange);
}

/// Air that is given, but while doors are open falls away from it. Walls at a stated distance from it do not notice so short a
/// time, and warm it.
void Surroundings::add_following(double air_start_k) {
    constexpr double kComesBackS = 5.0;  // less than a bake is sampled at
    const double air_j_per_k = kAirHeatCapacityJPerM3K * booth_.volume_m3;
    air_ = built_.network.add_node("booth air", air_j_per_k, air_start_k);
    built_.booth_nodes.push_back(air_.index);
    built_.network.add_film({.air = {steady_, 1.0, 0.0, thermal::kNoFactor},
                             .node = air_,
                             .conductance_w_per_k = air_j_per_k / kComesBackS,
                             .mode_factor = {1.0, 1.0, 1.0, 1.0, 0.0}});
    if (booth_.states_wall_offset())
        built_.network.add_film({.air = stated_walls(0.0),
                                 .node = air_,
                                 .conductance_w_per_k = kDoorsOpenWallFilmWPerM2K * booth_.wall_area_m2,
                                 .mode_factor = kDoorsOpenAlone});
}

/// As fresh air, while the doors are open.
void Surroundings::add_doorway(double doorway_w_per_k) {
    built_.network.add_film({.air = {outside_, 1.0, 0.0, thermal::kNoFactor},
                             .node = air_,
                             .conductance_w_per_k = doorway_w_per_k,
                             .mode_factor = kDoorsOpenAlone,
                             .account = built_.booth ? built_.booth->make_up : thermal::kNoAccount,
                             .factor = factor_of(built_, FactorKind::doorway)});
}

/// The control sensor, which lags the air and reads off it.
Place Surroundings::add_sensor(double start_k) {
    const double offset_k = booth_.controller.sensor_offset_k - learned(LearnedKind::air_offset);
    const Following sensed = shifted(air_, offset_k, thermal::kNoFactor);
    const Place sensor =
        built_.network.add_node("control sensor", kSensorHeatCapacityJPerK, sensed.gain * start_k + sensed.offset_k);
    built_.booth_nodes.push_back(sensor.index);
    built_.network.add_film({.air = sensed,
                             .node = sensor,
                             .conductance_w_per_k = kSensorHeatCapacityJPerK / booth_.controller.sensor_time_constant_s});
    return sensor;
}

void Surroundings::set_control(thermal::Heater& burner) const {
    using Control = thermal::Heater::Control;
    const Controller& controller = booth_.controller;
    burner.bias_from_k = booth_.ambient_k;
    if (controller.kind == Controller::Kind::proportional_integral) {
        burner.control = Control::proportional_integral;
        burner.gain_w_per_k = controller.gain_w_per_k;
        burner.integral_time_s = controller.integral_time_s;
    } else if (controller.kind == Controller::Kind::burner_limited) {
        burner.control = Control::proportional;
        burner.gain_w_per_k = burner.largest_power_w / kIdealBandK;
    } else if (switches_too_fast_to_follow(booth_)) {
        burner.control = Control::proportional;
        burner.gain_w_per_k = burner.largest_power_w / controller.band_k;
        burner.bias_k = 0.5 * controller.band_k;
    } else {
        burner.control = Control::on_off;
        burner.band_k = controller.band_k;
    }
}

void Surroundings::add_burner(Place setpoint, double start_k) {
    // A burner-limited controller sees the air itself, at once.
    const bool has_sensor = booth_.controller.kind != Controller::Kind::burner_limited;
    thermal::Heater burner{.node = air_,
                           .sensor = has_sensor ? add_sensor(start_k) : air_,
                           .setpoint = setpoint,
                           .largest_power_w = booth_.burner_power_w * learned(LearnedKind::burner_power)};
    set_control(burner);
    for (std::size_t m = 0; m < kFanModeCount; ++m) burner.may_fire[m] = booth_.ventilation[m].burner_may_fire;
    burner.may_fire[kDoorsOpenMode] = false;
    burner.limit = air_;
    burner.limit_k = booth_.high_limit_k;
    burner.account = built_.booth->burner;
    burner.factor = factor_of(built_, FactorKind::burner_power);
    built_.network.add_heater(burner);
}

}  // namespace bakewright::bake
