#include "bakewright/thermal/network.hpp"

#include <cmath>
#include <utility>

#include "bakewright/base/error.hpp"

namespace bakewright::thermal {

Place Network::add_node(std::string name, double heat_capacity_j_per_k, double start_k) {
    ensure(std::isfinite(heat_capacity_j_per_k) && heat_capacity_j_per_k > 0.0, "a node's heat capacity is positive and finite");
    ensure(std::isfinite(start_k) && start_k > 0.0, "a node starts at a positive absolute temperature");
    nodes_.push_back({std::move(name), heat_capacity_j_per_k, start_k});
    return {Place::Kind::node, static_cast<std::uint32_t>(nodes_.size() - 1)};
}

Place Network::add_boundary(std::string name) {
    boundaries_.push_back(std::move(name));
    return {Place::Kind::boundary, static_cast<std::uint32_t>(boundaries_.size() - 1)};
}

AccountIndex Network::add_account(std::string name) {
    accounts_.push_back(std::move(name));
    return static_cast<AccountIndex>(accounts_.size() - 1);
}

void Network::add_conduction(Conduction conduction) {
    ensure_known(conduction.from);
    ensure_known(conduction.to);
    ensure_account(conduction.account);
    ensure(!(conduction.from == conduction.to), "a conduction joins two different places");
    ensure(std::isfinite(conduction.conductance_w_per_k) && conduction.conductance_w_per_k > 0.0,
           "a conductance is positive and finite");
    conductions_.push_back(conduction);
}

void Network::add_film(Film film) {
    ensure_known(film.air.place);
    ensure_known(film.node);
    ensure_account(film.account);
    ensure(film.node.kind == Place::Kind::node, "a film wets a node");
    ensure(!(film.air.place == film.node), "a film joins two different places");
    ensure(std::isfinite(film.conductance_w_per_k) && film.conductance_w_per_k > 0.0,
           "a film conductance is positive and finite");
    for (const double factor : film.mode_factor) ensure(std::isfinite(factor) && factor > 0.0, "a mode factor is positive");
    films_.push_back(film);
}

void Network::add_radiation(Radiation radiation) {
    ensure_known(radiation.wall.place);
    ensure_known(radiation.node);
    ensure_account(radiation.account);
    ensure(radiation.node.kind == Place::Kind::node, "radiation falls on a node");
    ensure(!(radiation.wall.place == radiation.node), "radiation joins two different places");
    ensure(std::isfinite(radiation.exchange_area_m2) && radiation.exchange_area_m2 > 0.0,
           "an exchange area is positive and finite");
    radiations_.push_back(radiation);
}

std::size_t Network::add_source(Source source) {
    ensure_known(source.node);
    ensure_account(source.account);
    ensure(source.node.kind == Place::Kind::node, "a source heats a node");
    sources_.push_back(source);
    return sources_.size() - 1;
}

double Network::total_heat_capacity_j_per_k() const noexcept {
    double total = 0.0;
    for (const Node& node : nodes_) total += node.heat_capacity_j_per_k;
    return total;
}

void Network::ensure_account(AccountIndex account) const {
    ensure(account == kNoAccount || account < accounts_.size(), "an account belongs to its network");
}

void Network::ensure_known(Place place) const {
    const std::size_t count = place.kind == Place::Kind::node ? nodes_.size() : boundaries_.size();
    ensure(place.index < count, "a place belongs to its network");
}

}  // namespace bakewright::thermal
