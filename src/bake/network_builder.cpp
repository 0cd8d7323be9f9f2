#include <algorithm>
#include <map>

#include "bakewright/bake/built_network.hpp"
#include "bakewright/base/error.hpp"
#include "face_exchange.hpp"
#include "zone_stack.hpp"

namespace bakewright::bake {
namespace {

using thermal::Following;
using thermal::Place;

class Builder {
public:
    Builder(const Shell& shell, const Booth& booth, const PredictOptions& options, WallSource walls)
        : shell_(shell), booth_(booth), options_(options), walls_(walls) {}

    BuiltNetwork run() {
        add_surroundings();
        for (const Cavity& cavity : shell_.cavities) add_cavity(cavity);
        for (const Zone& zone : shell_.zones) add_zone(zone);
        for (const Link& link : shell_.links) add_link(link);
        for (const Item& item : shell_.items) add_item(item);
        return std::move(built_);
    }

private:
    struct ZonePlaces {
        Place outer, inner;
    };

    thermal::Network& network() { return built_.network; }
    double start_k(const std::optional<double>& own) const { return own.value_or(options_.start_temperature_k); }

    void add_surroundings() {
        air_ = network().add_boundary("booth air");
        if (walls_ == WallSource::given) wall_ = network().add_boundary("booth wall");
        built_.convection = network().add_account("convection");
        built_.radiation = network().add_account("radiation");
        built_.infrared = network().add_account("infrared");
        built_.origins.push_back({"booth air", TraceRole::booth_air, {air_, 1.0, 0.0}});
        built_.origins.push_back({"booth wall", TraceRole::booth_wall, wall_at(0.0, 0.0)});
    }

    /// Booth air shifted by an offset that is stated for the reference rise.
    Following shifted_air(double offset_at_reference_k) const {
        const double share = offset_at_reference_k / booth_.reference_rise_k;
        return {air_, 1.0 + share, -share * booth_.reference_temperature_k};
    }
    Following air_at(double height_m) const { return shifted_air(booth_.vertical_offset_k(height_m)); }
    Following wall_at(double height_m, double vertical_share = 1.0) const {
        if (walls_ == WallSource::given) return {wall_, 1.0, 0.0};
        return shifted_air(vertical_share * booth_.vertical_offset_k(height_m) - booth_.wall_offset_below_air_k());
    }

    void add_cavity(const Cavity& cavity) {
        const double air_j_per_k = kAirHeatCapacityJPerM3K * cavity.volume_m3;
        const Place air = network().add_node(cavity.name, air_j_per_k, start_k(cavity.start_temperature_k));
        cavities_[cavity.name] = air;
        built_.origins.push_back({cavity.name, TraceRole::cavity_air, {air, 1.0, 0.0}});
        if (cavity.leakage_per_s > 0.0) {
            thermal::Film leak{.air = {air_, 1.0, 0.0}, .node = air, .conductance_w_per_k = air_j_per_k * cavity.leakage_per_s};
            leak.account = built_.convection;
            network().add_film(leak);
        }
        if (cavity.contents_heat_capacity_j_per_k > 0.0) {
            const Place contents = network().add_node(cavity.name + " contents", cavity.contents_heat_capacity_j_per_k,
                                                      start_k(cavity.start_temperature_k));
            network().add_conduction({air, contents, cavity.contents_conductance_w_per_k});
        }
    }

    void add_zone(const Zone& zone) {
        const StackNodes stack = split_zone(zone, booth_, options_);
        std::vector<Place> places;
        for (std::size_t i = 0; i < stack.capacity_j_per_m2_k.size(); ++i)
            places.push_back(network().add_node(
                stack.capacity_j_per_m2_k.size() == 1 ? zone.name : zone.name + " layer " + std::to_string(i + 1),
                stack.capacity_j_per_m2_k[i] * zone.area_m2, start_k(zone.start_temperature_k)));
        for (std::size_t i = 0; i < stack.between.size(); ++i) join_nodes(zone, stack.between[i], places[i], places[i + 1]);
        zones_[zone.name] = {places.front(), places.back()};
        add_face(zone, zone.outer, places.front());
        add_face(zone, zone.inner, places.back());
        add_infrared(zone, places.front());
        const TraceRole role = zone.role == ZoneRole::test_panel ? TraceRole::test_panel : TraceRole::zone;
        built_.origins.push_back({zone.name, role, {places.front(), 1.0, 0.0}});
        if (stack.capacity_j_per_m2_k.size() > 1)
            built_.splits.push_back({zone.name, stack.capacity_j_per_m2_k.size(), stack.biot, stack.reason});
    }

    void join_nodes(const Zone& zone, const StackJoint& joint, Place from, Place to) {
        network().add_conduction({from, to, joint.conductance_w_per_m2_k * zone.area_m2});
        if (joint.exchange_factor > 0.0)
            network().add_radiation(
                {.wall = {from, 1.0, 0.0}, .node = to, .exchange_area_m2 = joint.exchange_factor * zone.area_m2});
    }

    void add_face(const Zone& zone, const Face& face, Place node) {
        if (face.view == FaceView::nothing) return;
        const FaceExchange exchange = face_exchange(zone, face, booth_, options_);
        thermal::Film film{.node = node, .conductance_w_per_k = exchange.film_w_per_m2_k * zone.area_m2};
        thermal::Radiation radiation{.node = node, .exchange_area_m2 = exchange.emissivity * zone.area_m2};
        if (face.view == FaceView::booth) {
            film.air = air_at(zone.height_m);
            film.mode_factor = exchange.mode_factor;
            film.account = built_.convection;
            radiation.wall = wall_at(zone.height_m);
            radiation.account = built_.radiation;
        } else {
            film.air = radiation.wall = Following{cavities_.at(face.cavity), 1.0, 0.0};
        }
        network().add_film(film);
        if (radiation.exchange_area_m2 > 0.0) network().add_radiation(radiation);
    }

    void add_infrared(const Zone& zone, Place face) {
        network().add_source({face, built_.infrared});
        built_.infrared_zones.push_back(zone.name);
        built_.infrared_area_m2.push_back(zone.infrared_absorptance * zone.area_m2);
    }

    void add_link(const Link& link) {
        const auto side = [&](const std::string& zone, Link::Side which) {
            return which == Link::Side::outer ? zones_.at(zone).outer : zones_.at(zone).inner;
        };
        network().add_conduction({side(link.from, link.from_side), side(link.to, link.to_side), link.conductance_w_per_k});
    }

    void add_item(const Item& item) {
        const Place node = network().add_node(item.name, item.heat_capacity_j_per_k, start_k(item.start_temperature_k));
        built_.origins.push_back({item.name, TraceRole::item, {node, 1.0, 0.0}});
        switch (item.place) {
            case Item::Place::zone:
                network().add_conduction({zones_.at(item.where).inner, node, item.conductance_w_per_k});
                break;
            case Item::Place::cavity:
                network().add_conduction({cavities_.at(item.where), node, item.conductance_w_per_k});
                break;
            case Item::Place::booth:
                network().add_film({.air = {air_, 1.0, 0.0},
                                    .node = node,
                                    .conductance_w_per_k = item.conductance_w_per_k,
                                    .account = built_.convection});
                break;
        }
    }

    const Shell& shell_;
    const Booth& booth_;
    const PredictOptions& options_;
    WallSource walls_;
    BuiltNetwork built_;
    Place air_, wall_;
    std::map<std::string, ZonePlaces> zones_;
    std::map<std::string, Place> cavities_;
};

}  // namespace

BuiltNetwork build_network(const Shell& shell, const Booth& booth, const PredictOptions& options, WallSource walls) {
    return Builder(shell, booth, options, walls).run();
}

}  // namespace bakewright::bake
