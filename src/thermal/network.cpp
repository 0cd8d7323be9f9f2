// SPDX-License-Identifier: Apache-2.0
#include "bakewright/thermal/network.hpp"

#include <algorithm>
#include <cmath>
#include <string_view>
#include <utility>

#include "bakewright/base/error.hpp"

namespace bakewright::thermal {
namespace {

void ensure_positive(double value, std::string_view promise) { ensure(std::isfinite(value) && value > 0.0, promise); }

void ensure_mode_factors(const ModeFactors& factors) {
    for (const double factor : factors) ensure(std::isfinite(factor) && factor >= 0.0, "a mode factor is zero or more");
}

}  // namespace

Place Network::add_node(std::string name, double heat_capacity_j_per_k, double start_k, FactorIndex factor) {
    ensure_positive(heat_capacity_j_per_k, "a node's heat capacity is positive and finite");
    ensure_positive(start_k, "a node starts at a positive absolute temperature");
    ensure_booking(kNoAccount, factor);
    nodes_.push_back({std::move(name), heat_capacity_j_per_k, start_k, factor});
    return {Place::Kind::node, static_cast<std::uint32_t>(nodes_.size() - 1)};
}

void Network::set_start(std::size_t node, double start_k) {
    ensure(node < nodes_.size(), "a start is set for a node of the network");
    ensure_positive(start_k, "a node starts at a positive absolute temperature");
    nodes_[node].start_k = start_k;
}

Place Network::add_boundary(std::string name) {
    boundaries_.push_back(std::move(name));
    return {Place::Kind::boundary, static_cast<std::uint32_t>(boundaries_.size() - 1)};
}

AccountIndex Network::add_account(std::string name) {
    accounts_.push_back(std::move(name));
    return static_cast<AccountIndex>(accounts_.size() - 1);
}

FactorIndex Network::add_factor(std::string name) {
    factors_.push_back(std::move(name));
    return static_cast<FactorIndex>(factors_.size() - 1);
}

void Network::add_conduction(Conduction conduction) {
    ensure_known(conduction.from);
    ensure_known(conduction.to);
    ensure_booking(conduction.account, conduction.factor);
    ensure(!(conduction.from == conduction.to), "a conduction joins two different places");
    ensure_positive(conduction.conductance_w_per_k, "a conductance is positive and finite");
    conductions_.push_back(conduction);
}

void Network::add_film(Film film) {
    ensure_following(film.air, film.node);
    ensure_booking(film.account, film.factor);
    for (const FactorIndex factor : film.factor_by_mode) ensure_booking(kNoAccount, factor);
    ensure_positive(film.conductance_w_per_k, "a film conductance is positive and finite");
    ensure_mode_factors(film.mode_factor);
    films_.push_back(film);
}

void Network::add_convection(const Convection& convection) {
    ensure_following(convection.air, convection.node);
    ensure_booking(convection.account, convection.factor);
    for (const FactorIndex factor : convection.factor_by_mode) ensure_booking(kNoAccount, factor);
    ensure_positive(convection.area_m2, "an area is positive and finite");
    ensure_mode_factors(convection.forced_factor);
    ensure(problems_in(convection.film).empty(), "a film model is checked before it is put into a network");
    convections_.push_back(convection);
}

void Network::add_gap_convection(const GapConvection& gap) {
    ensure_node(gap.outer);
    ensure_node(gap.inner);
    ensure_booking(gap.account, gap.factor);
    ensure(!(gap.outer == gap.inner), "a gap lies between two different nodes");
    ensure_positive(gap.area_m2, "an area is positive and finite");
    ensure(problems_in(gap.gap).empty(), "a gap model is checked before it is put into a network");
    gap_convections_.push_back(gap);
}

void Network::add_radiation(Radiation radiation) {
    ensure_following(radiation.wall, radiation.node);
    ensure_booking(radiation.account, radiation.factor);
    ensure_positive(radiation.exchange_area_m2, "an exchange area is positive and finite");
    radiations_.push_back(radiation);
}

std::size_t Network::add_source(Source source) {
    ensure_node(source.node);
    ensure_booking(source.account, kNoFactor);
    sources_.push_back(source);
    return sources_.size() - 1;
}

void Network::add_heater(Heater heater) {
    ensure_node(heater.node);
    ensure_node(heater.sensor);
    ensure_node(heater.limit);
    ensure_known(heater.setpoint);
    ensure(heater.setpoint.kind == Place::Kind::boundary, "a set point is given");
    ensure_booking(heater.account, heater.factor);
    ensure_positive(heater.largest_power_w, "a heater's power is positive and finite");
    using Control = Heater::Control;
    if (heater.control == Control::on_off)
        ensure_positive(heater.band_k, "a controller's band is positive and finite");
    else
        ensure_positive(heater.gain_w_per_k, "a controller's gain is positive and finite");
    ensure(std::isfinite(heater.bias_k) && heater.bias_k >= 0.0, "a heater's bias is 0 or more");
    if (heater.control == Control::proportional_integral)
        ensure_positive(heater.integral_time_s, "a controller's integral time is positive and finite");
    if (heater.limit_k) ensure_positive(*heater.limit_k, "a high limit is a positive absolute temperature");
    heaters_.push_back(heater);
}

double Network::total_heat_capacity_j_per_k() const noexcept {
    double total = 0.0;
    for (const Node& node : nodes_) total += node.heat_capacity_j_per_k;
    return total;
}

bool Network::has_switches() const noexcept {
    return std::any_of(heaters_.begin(), heaters_.end(), [](const Heater& heater) {
        return heater.control == Heater::Control::on_off || heater.limit_k.has_value();
    });
}

void Network::ensure_booking(AccountIndex account, FactorIndex factor) const {
    ensure(account == kNoAccount || account < accounts_.size(), "an account belongs to its network");
    ensure(factor == kNoFactor || factor < factors_.size(), "a factor belongs to its network");
}

void Network::ensure_following(const Following& following, Place node) const {
    ensure_known(following.place);
    ensure_node(node);
    ensure_booking(kNoAccount, following.factor);
    ensure_booking(kNoAccount, following.drawn);
    ensure(following.drawn == kNoFactor || std::isfinite(following.above_k), "a drawn error of a place begins at a level");
    const bool meets =
        !std::isfinite(following.above_k) || std::abs(following.at_k(following.above_k) - following.above_k) < 1e-6;
    ensure(meets, "a temperature that follows a place above a level meets it there");
    ensure(!(following.place == node), "a film or an exchange of radiation joins two different places");
}

void Network::ensure_node(Place place) const {
    ensure_known(place);
    ensure(place.kind == Place::Kind::node, "a node is solved for, not given");
}

void Network::ensure_known(Place place) const {
    const std::size_t count = place.kind == Place::Kind::node ? nodes_.size() : boundaries_.size();
    ensure(place.index < count, "a place belongs to its network");
}

}  // namespace bakewright::thermal
