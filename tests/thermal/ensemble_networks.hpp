// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cmath>
#include <memory>
#include <vector>

#include "bakewright/thermal/ensemble.hpp"

namespace bakewright::thermal::test {

/// A small booth: skins with films by correlation, a gap, a frame, walls that radiate, a controlled heater; a factor on every
/// kind of edge. Invented numbers.
struct SmallBooth {
    Network network;
    std::vector<Segment> segments;
    std::vector<WatchedPlace> watched;
};

inline constexpr double kThresholdK = 320.0;

inline std::shared_ptr<const TabulatedFunction> rising_rate() {
    TabulatedFunction rate{280.0, 0.5, {}};
    for (int i = 0; i <= 200; ++i) rate.value.push_back(1e-3 * i * i);
    return std::make_shared<const TabulatedFunction>(std::move(rate));
}

inline std::vector<Reading> all_readings() {
    using Kind = Reading::Kind;
    return {{Kind::highest_temperature},
            {Kind::total_time_at_or_above, kThresholdK},
            {Kind::longest_time_at_or_above, kThresholdK},
            {Kind::integral, 0.0, rising_rate()},
            {Kind::largest_heating_rate},
            {Kind::total_time_at_or_above, 328.0}};
}

enum class Burner { none, controlled, on_off };

/// @param burner  none: the air is warmed from the set point through a film
inline SmallBooth small_booth(Burner burner = Burner::none) {
    SmallBooth booth;
    Network& network = booth.network;
    const auto factor = [&](const char* name) { return network.add_factor(name); };
    const Place air = network.add_node("air", 2e4, 293.15, factor("air mass"));
    const Place roof = network.add_node("roof", 6e3, 293.15, factor("roof mass"));
    const Place lining = network.add_node("lining", 4e3, 292.0);
    const Place frame = network.add_node("frame", 6e4, 291.0, factor("frame mass"));
    const Place sensor = network.add_node("sensor", 50.0, 293.15);
    const Place setpoint = network.add_boundary("set point");
    const Place wall = network.add_boundary("wall");
    FilmModel film;
    film.lie = FilmModel::Lie::facing_up;
    film.forced_w_per_m2_k = 4.0;
    ModeFactorIndices by_mode = kNoModeFactors;
    by_mode[1] = factor("films in mode 1");
    network.add_convection({.air = {air, 1.05, -12.0, factor("shift")},
                            .node = roof,
                            .area_m2 = 2.0,
                            .film = film,
                            .forced_factor = {1.0, 0.7, 1.0, 1.0},
                            .factor = factor("roof film"),
                            .factor_by_mode = by_mode});
    network.add_film({.air = {air}, .node = sensor, .conductance_w_per_k = 5.0});
    network.add_film({.air = {air},
                      .node = frame,
                      .conductance_w_per_k = 12.0,
                      .mode_factor = {1.0, 0.5, 1.0, 1.0},
                      .factor = factor("frame film"),
                      .factor_by_mode = by_mode});
    network.add_conduction({roof, lining, 9.0, kNoAccount, factor("bond")});
    network.add_conduction({lining, frame, 3.0});
    network.add_radiation({.wall = {wall}, .node = roof, .exchange_area_m2 = 1.5, .factor = factor("emissivity")});
    network.add_film({.air = {wall}, .node = air, .conductance_w_per_k = 40.0});
    Heater heater{.node = air, .sensor = sensor, .setpoint = setpoint, .largest_power_w = 1.5e3, .factor = factor("burner")};
    if (burner == Burner::on_off) {
        heater.control = Heater::Control::on_off;
        heater.band_k = 4.0;
    } else {
        heater.gain_w_per_k = 800.0;
        heater.integral_time_s = 300.0;
    }
    if (burner == Burner::none)
        network.add_film({.air = {setpoint}, .node = air, .conductance_w_per_k = 150.0, .factor = heater.factor});
    else
        network.add_heater(heater);
    booth.segments = {{0, 1800, {293.15, 293.15}, {338.15, 320.0}, {}, 0},
                      {1800, 4505, {338.15, 320.0}, {338.15, 325.0}, {}, 0},
                      {4505, 7200, {300.0, 318.0}, {300.0, 300.0}, {}, 1}};
    booth.watched = {{"roof", {roof}, all_readings()},
                     {"frame", {frame, 1.02, -5.0}, all_readings()},
                     {"wall", {wall}, {{Reading::Kind::highest_temperature}}},
                     {"roof less frame", {roof}, {{Reading::Kind::highest_temperature}}, Following{frame, 1.02, -5.0}},
                     {"wall less roof", {wall}, {{Reading::Kind::highest_temperature}}, Following{roof}}};
    return booth;
}

/// Everything that may be perturbed, by some 10 %, 2 K and 0.5 K.
inline void perturb(std::size_t index, EnsembleMember& member) {
    std::vector<double> z(member.numbers.factor.size() + member.numbers.boundary_offset_k.size() + member.offset_k.size() + 1);
    draw_normals(11, index, z);
    auto next = z.begin();
    for (double& factor : member.numbers.factor) factor = 1.0 + 0.1 * std::tanh(*next++);
    for (double& offset_k : member.numbers.boundary_offset_k) offset_k = 2.0 * *next++;
    for (double& offset_k : member.offset_k) offset_k = 0.5 * *next++;
    member.numbers.start_shift_k = 2.0 * *next;
}

}  // namespace bakewright::thermal::test
