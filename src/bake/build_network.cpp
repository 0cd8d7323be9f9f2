#include "bakewright/bake/build_network.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "bakewright/base/error.hpp"
#include "surroundings.hpp"
#include "zone_stack.hpp"

namespace bakewright::bake {
namespace {

/// A part of a stage that would be shorter than this is left to the rest [s].
constexpr double kShortestPartS = 1e-3;

std::vector<double> infrared_sources_w(const BuiltNetwork& built, const std::optional<Infrared>& infrared) {
    std::vector<double> source_w(built.infrared_zones.size(), 0.0);
    if (!infrared) return source_w;
    for (std::size_t i = 0; i < source_w.size(); ++i) {
        const auto& zones = infrared->zones;
        if (std::find(zones.begin(), zones.end(), built.infrared_zones[i]) != zones.end())
            source_w[i] = infrared->flux_w_per_m2 * built.infrared_area_m2[i];
    }
    return source_w;
}

FanMode mode_at(const std::vector<ResolvedStage>& stages, double time_s) {
    if (stages.empty()) return FanMode::bake;
    const auto ends_after = [&](const ResolvedStage& stage) { return stage.end_s > time_s; };
    const auto at = std::find_if(stages.begin(), stages.end(), ends_after);
    return fan_mode_of(at == stages.end() ? stages.back().kind : at->kind);
}

/// A booth that is solved for has the outside as its second boundary. Air that is where it is set lies off by what was learned.
std::vector<double> boundaries_k(const BuiltNetwork& built, const Booth& booth, double setpoint_k) {
    const double share = booth.learned.value(LearnedKind::air_offset) / booth.rise_of_full_offset_k();
    const bool is_where_set = !built.booth || booth.controller.kind == Controller::Kind::burner_limited;
    const double first_k = setpoint_k + (is_where_set ? share * (setpoint_k - booth.ambient_k) : 0.0);
    return built.booth ? std::vector<double>{first_k, booth.ambient_k} : std::vector<double>{first_k};
}

/// Whether a stage puts heat into the booth's air: given air is heated as soon as it is over the ambient; a burner heats where it
/// may fire and is set to more than the ambient.
bool heats_air(const BuiltNetwork& built, const Booth& booth, const ResolvedStage& stage) {
    if (!built.booth) return true;
    return booth.ventilation[static_cast<std::size_t>(fan_mode_of(stage.kind))].burner_may_fire &&
           std::max(stage.begin_k, stage.end_k) > booth.ambient_k;
}

/// Adds a stage, in two parts where the set point passes the ambient, at which local air begins to differ.
void add_stage(std::vector<thermal::Segment>& segments, const BuiltNetwork& built, const Booth& booth, const ResolvedStage& stage,
               std::vector<double> source_w) {
    const auto add = [&](double begin_s, double end_s, double begin_k, double end_k) {
        segments.push_back({begin_s, end_s, boundaries_k(built, booth, begin_k), boundaries_k(built, booth, end_k), source_w,
                            static_cast<std::size_t>(fan_mode_of(stage.kind)), heats_air(built, booth, stage)});
    };
    const double share = (booth.ambient_k - stage.begin_k) / (stage.end_k - stage.begin_k);
    const double crossing_s = stage.begin_s + share * (stage.end_s - stage.begin_s);
    const bool crosses = crossing_s > stage.begin_s + kShortestPartS && crossing_s < stage.end_s - kShortestPartS;
    if (!crosses) return add(stage.begin_s, stage.end_s, stage.begin_k, stage.end_k);
    add(stage.begin_s, crossing_s, stage.begin_k, booth.ambient_k);
    add(crossing_s, stage.end_s, booth.ambient_k, stage.end_k);
}

}  // namespace

std::vector<thermal::Segment> cycle_segments(const BuiltNetwork& built, const Booth& booth, const Cycle& cycle,
                                             const std::vector<ResolvedStage>& stages, double after_s) {
    std::vector<thermal::Segment> segments;
    for (const ResolvedStage& stage : stages)
        add_stage(segments, built, booth, stage, infrared_sources_w(built, cycle.stages[stage.index].infrared));
    if (after_s > 0.0) {
        const ResolvedStage& last = stages.back();
        add_stage(segments, built, booth, {last.kind, last.end_s, last.end_s + after_s, last.end_k, last.end_k, last.index},
                  infrared_sources_w(built, {}));
    }
    return segments;
}

std::vector<thermal::Segment> replay_segments(const BuiltNetwork& built, const Trace& air, const Trace* wall,
                                              const std::vector<ResolvedStage>& stages) {
    std::vector<thermal::Segment> segments;
    for (std::size_t i = 0; i + 1 < air.size(); ++i) {
        std::vector<double> begin_k{air.temperature_k[i]}, end_k{air.temperature_k[i + 1]};
        if (wall != nullptr) {
            begin_k.push_back(temperature_at_k(*wall, air.time_s[i]));
            end_k.push_back(temperature_at_k(*wall, air.time_s[i + 1]));
            if (!std::isfinite(begin_k.back()) || !std::isfinite(end_k.back()))
                throw InputError(Problem{{},
                                         0,
                                         wall->name,
                                         fmt::format("the wall trace has no sample at {:.0f} s, where the air "
                                                     "trace has one",
                                                     air.time_s[i])});
        }
        segments.push_back({air.time_s[i], air.time_s[i + 1], std::move(begin_k), std::move(end_k), infrared_sources_w(built, {}),
                            static_cast<std::size_t>(mode_at(stages, (air.time_s[i] + air.time_s[i + 1]) / 2.0))});
    }
    return segments;
}

namespace {

using thermal::Following;
using thermal::Place;

class Builder {
public:
    Builder(const Shell& shell, const Booth& booth, const PredictOptions& options, BoothAir air, double air_start_k)
        : shell_(shell), booth_(booth), options_(options), surroundings_(built_, booth, options, air, air_start_k) {}

    BuiltNetwork run() {
        for (const Cavity& cavity : shell_.cavities) add_cavity(cavity);
        for (const Zone& zone : shell_.zones) add_zone(zone);
        for (const Link& link : shell_.links) add_link(link);
        for (const Item& item : shell_.items) add_item(item);
        start_elsewhere();
        return std::move(built_);
    }

private:
    struct ZonePlaces {
        Place outer, inner;
    };

    void start_elsewhere() {
        if (options_.node_start_k.empty()) return;
        for (std::size_t i = 0; i < network().node_count(); ++i)
            if (const auto at = options_.node_start_k.find(network().nodes()[i].name); at != options_.node_start_k.end())
                network().set_start(i, at->second);
    }
    thermal::Network& network() { return built_.network; }
    double start_k(const std::optional<double>& own) const { return own.value_or(options_.start_temperature_k); }
    thermal::FactorIndex factor(FactorKind kind, const std::string& subject) { return factor_of(built_, kind, subject); }
    /// What was learned of the shell, as a factor.
    double learned(LearnedKind kind, const std::string& subject = {}) const { return shell_.learned.value(kind, subject); }
    static Following plain(Place place) { return {place, 1.0, 0.0, thermal::kNoFactor}; }

    void add_cavity(const Cavity& cavity) {
        const double air_j_per_k = kAirHeatCapacityJPerM3K * cavity.volume_m3;
        const Place air = network().add_node(cavity.name, air_j_per_k, start_k(cavity.start_temperature_k));
        cavities_[cavity.name] = air;
        built_.origins.push_back({cavity.name, TraceRole::cavity_air, plain(air)});
        if (cavity.leakage_per_s > 0.0)
            network().add_film(
                {.air = surroundings_.reference_air(),
                 .node = air,
                 .conductance_w_per_k = air_j_per_k * cavity.leakage_per_s * learned(LearnedKind::leakage, cavity.name),
                 .account = built_.convection,
                 .factor = factor(FactorKind::leakage, cavity.name)});
        if (cavity.contents_heat_capacity_j_per_k > 0.0) {
            const Place contents = network().add_node(cavity.name + " contents", cavity.contents_heat_capacity_j_per_k,
                                                      start_k(cavity.start_temperature_k));
            network().add_conduction({air, contents, cavity.contents_conductance_w_per_k});
        }
    }

    void add_zone(const Zone& zone) {
        const StackNodes stack = split_zone(zone, booth_, options_);
        const std::size_t count = stack.capacity_j_per_m2_k.size();
        const double capacity_m2 = zone.area_m2 * learned(LearnedKind::thickness, zone.name);
        std::vector<Place> places;
        for (std::size_t i = 0; i < count; ++i)
            places.push_back(network().add_node(count == 1 ? zone.name : zone.name + " layer " + std::to_string(i + 1),
                                                stack.capacity_j_per_m2_k[i] * capacity_m2, start_k(zone.start_temperature_k),
                                                factor(FactorKind::thickness, zone.name)));
        for (std::size_t i = 0; i < stack.between.size(); ++i) join_nodes(zone, stack.between[i], places[i], places[i + 1]);
        zones_[zone.name] = {places.front(), places.back()};
        add_face(zone, FaceSide::outer, places.front());
        add_face(zone, FaceSide::inner, places.back());
        add_infrared(zone, places.front());
        const TraceRole role = zone.role == ZoneRole::test_panel ? TraceRole::test_panel : TraceRole::zone;
        built_.origins.push_back({zone.name, role, plain(places.front())});
        if (count > 1) built_.splits.push_back({zone.name, count, stack.biot, stack.reason});
    }

    void join_nodes(const Zone& zone, const StackJoint& joint, Place from, Place to) {
        if (joint.gap)
            network().add_gap_convection({.outer = from, .inner = to, .area_m2 = zone.area_m2, .gap = *joint.gap});
        else
            network().add_conduction({from, to,
                                      joint.conductance_w_per_m2_k * zone.area_m2 / learned(LearnedKind::thickness, zone.name),
                                      thermal::kNoAccount, factor(FactorKind::through, zone.name)});
        if (joint.exchange_factor > 0.0)
            network().add_radiation({.wall = plain(from), .node = to, .exchange_area_m2 = joint.exchange_factor * zone.area_m2});
    }

    void add_face(const Zone& zone, FaceSide side, Place node) {
        const Face& face = face_of(zone, side);
        if (face.view == FaceView::nothing) return;
        FaceExchange exchange = face_exchange(zone, side, booth_, options_);
        const Place surface = add_mask(zone, face, node);
        thermal::Radiation radiation{.node = surface, .exchange_area_m2 = exchange.emissivity * zone.area_m2};
        if (face.view == FaceView::booth) {
            const std::string group = film_group_of(zone);
            scale_film(exchange,
                       booth_.learned.value(LearnedKind::group_film, group) * learned(LearnedKind::zone_film, zone.name));
            radiation.exchange_area_m2 *= learned(LearnedKind::emissivity);
            add_face_film(built_, exchange, surroundings_.air_at(zone.height_m), surface, zone.area_m2, built_.convection,
                          factor_of(built_, FactorKind::film, zone.name, group));
            radiation.wall = surroundings_.wall_at(zone.height_m);
            radiation.account = built_.radiation;
            radiation.factor = surroundings_.emissivity_factor();
        } else {
            radiation.wall = plain(cavities_.at(face.cavity));
            scale_film(exchange, learned(LearnedKind::cavity_film, face.cavity));
            add_face_film(built_, exchange, radiation.wall, surface, zone.area_m2, thermal::kNoAccount,
                          factor(FactorKind::cavity_film, face.cavity));
        }
        if (radiation.exchange_area_m2 > 0.0) network().add_radiation(radiation);
    }

    /// The mask over a face as a node of its own, with still air behind it; the face itself where it is bare.
    Place add_mask(const Zone& zone, const Face& face, Place node) {
        const std::optional<MaskLayer> layer = mask_layer(face.masking);
        if (!layer) return node;
        const Place mask = network().add_node(zone.name + " mask", layer->heat_capacity_j_per_m2_k * zone.area_m2,
                                              start_k(zone.start_temperature_k));
        network().add_conduction({mask, node, layer->still_air_w_per_m2_k * zone.area_m2});
        return mask;
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
        const std::string name = link.from + " " + link.to;
        network().add_conduction({side(link.from, link.from_side), side(link.to, link.to_side),
                                  link.conductance_w_per_k * learned(LearnedKind::link, name), thermal::kNoAccount,
                                  factor(FactorKind::link, name)});
    }

    void add_item(const Item& item) {
        const Place node = network().add_node(item.name, item.heat_capacity_j_per_k, start_k(item.start_temperature_k));
        built_.origins.push_back({item.name, TraceRole::item, plain(node)});
        const thermal::FactorIndex contact = factor(FactorKind::contact, item.name);
        const double conductance_w_per_k = item.conductance_w_per_k * learned(LearnedKind::contact, item.name);
        switch (item.place) {
            case Item::Place::zone:
                return network().add_conduction(
                    {zones_.at(item.where).inner, node, conductance_w_per_k, thermal::kNoAccount, contact});
            case Item::Place::cavity:
                return network().add_conduction(
                    {cavities_.at(item.where), node, conductance_w_per_k, thermal::kNoAccount, contact});
            case Item::Place::booth:
                return network().add_film({.air = surroundings_.reference_air(),
                                           .node = node,
                                           .conductance_w_per_k = conductance_w_per_k,
                                           .account = built_.convection,
                                           .factor = contact});
        }
    }

    const Shell& shell_;
    const Booth& booth_;
    const PredictOptions& options_;
    BuiltNetwork built_;
    Surroundings surroundings_;
    std::map<std::string, ZonePlaces> zones_;
    std::map<std::string, Place> cavities_;
};

}  // namespace

BuiltNetwork build_network(const Shell& shell, const Booth& booth, const PredictOptions& options, BoothAir air,
                           double air_start_k) {
    return Builder(shell, booth, options, air, air_start_k).run();
}

}  // namespace bakewright::bake
