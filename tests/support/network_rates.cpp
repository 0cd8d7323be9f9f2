// SPDX-License-Identifier: Apache-2.0
#include "support/network_rates.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "bakewright/base/units.hpp"
#include "bakewright/thermal/films.hpp"

namespace bakewright::support {
namespace {

using thermal::Network;
using thermal::Place;
using thermal::Segment;

double place_k(const Segment& segment, double time_s, std::span<const double> node_k, Place place) {
    if (place.kind == Place::Kind::node) return node_k[place.index];
    const double share = (time_s - segment.begin_s) / (segment.end_s - segment.begin_s);
    return (1.0 - share) * segment.boundary_begin_k[place.index] + share * segment.boundary_end_k[place.index];
}

/// The film coefficient with the forced part times a factor, by the correlations themselves.
double film_w_per_m2_k(const thermal::FilmModel& model, double surface_k, double air_k, double forced_factor) {
    const double forced = forced_factor * thermal::forced_coefficient_w_per_m2_k(model, 0.5 * (surface_k + air_k));
    const double natural = surface_k == air_k ? 0.0 : thermal::natural_coefficient_w_per_m2_k(model, surface_k, air_k);
    return model.multiplier * thermal::combined_coefficient_w_per_m2_k(forced, natural, model.combination);
}

/// Adds a heater's power; returns the rate of its integral state [K/s].
double heater_rate(const thermal::Heater& heater, double setpoint_k, double sensor_k, double integral_k, bool may_fire,
                   double& power_w) {
    const double error_k = setpoint_k - sensor_k;
    const double demand_w =
        heater.gain_w_per_k * (error_k + std::clamp(setpoint_k - heater.bias_from_k, 0.0, heater.bias_k) + integral_k);
    power_w = may_fire ? std::clamp(demand_w, 0.0, heater.largest_power_w) : 0.0;
    if (heater.control == thermal::Heater::Control::proportional) return 0.0;
    const bool is_free = may_fire && power_w == demand_w;
    return (is_free ? error_k : power_w / heater.gain_w_per_k - integral_k) / heater.integral_time_s;
}

}  // namespace

void network_rates(const Network& network, const Segment& segment, double time_s, std::span<const double> y,
                   std::span<double> dydt) {
    const std::span<const double> node_k = y;
    std::vector<double> heat_w(network.node_count(), 0.0);
    const auto give = [&](Place place, double w) {
        if (place.kind == Place::Kind::node) heat_w[place.index] += w;
    };
    const auto at = [&](Place place) { return place_k(segment, time_s, node_k, place); };
    const auto follows = [&](const thermal::Following& following) {
        const double there_k = at(following.place);
        const bool is_level = following.above_k > thermal::Following::kFollowsAlways;
        if (is_level && (!segment.is_heated || there_k < following.above_k)) return there_k;
        return following.gain * there_k + following.offset_k;
    };
    for (const thermal::Conduction& edge : network.conductions()) {
        const double w = edge.conductance_w_per_k * (at(edge.from) - at(edge.to));
        give(edge.from, -w);
        give(edge.to, w);
    }
    for (const thermal::Film& film : network.films()) {
        const double air_k = follows(film.air);
        const double w = film.conductance_w_per_k * film.mode_factor[segment.mode] * (air_k - at(film.node));
        give(film.air.place, -w);
        give(film.node, w);
    }
    for (const thermal::Convection& edge : network.convections()) {
        const double air_k = follows(edge.air);
        const double h = film_w_per_m2_k(edge.film, at(edge.node), air_k, edge.forced_factor[segment.mode]);
        const double w = h * edge.area_m2 * (air_k - at(edge.node));
        give(edge.air.place, -w);
        give(edge.node, w);
    }
    for (const thermal::GapConvection& edge : network.gap_convections()) {
        const double h = thermal::gap_coefficient_w_per_m2_k(edge.gap, at(edge.outer), at(edge.inner));
        const double w = h * edge.area_m2 * (at(edge.outer) - at(edge.inner));
        give(edge.outer, -w);
        give(edge.inner, w);
    }
    for (const thermal::Radiation& edge : network.radiations()) {
        const double wall_k = follows(edge.wall);
        const double w = edge.exchange_area_m2 * kStefanBoltzmann * (std::pow(wall_k, 4) - std::pow(at(edge.node), 4));
        give(edge.wall.place, -w);
        give(edge.node, w);
    }
    for (std::size_t s = 0; s < network.sources().size(); ++s) give(network.sources()[s].node, segment.source_w[s]);
    const std::span<double> out = dydt;
    for (std::size_t h = 0; h < network.heaters().size(); ++h) {
        const thermal::Heater& heater = network.heaters()[h];
        const std::size_t state = network.node_count() + h;
        double power_w = 0.0;
        out[state] =
            heater_rate(heater, at(heater.setpoint), at(heater.sensor), node_k[state], heater.may_fire[segment.mode], power_w);
        give(heater.node, power_w);
    }
    for (std::size_t i = 0; i < heat_w.size(); ++i) out[i] = heat_w[i] / network.nodes()[i].heat_capacity_j_per_k;
}

}  // namespace bakewright::support
