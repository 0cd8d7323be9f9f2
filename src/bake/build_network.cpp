// SPDX-License-Identifier: Apache-2.0
#include "bakewright/bake/build_network.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "bakewright/bake/cold_places.hpp"
#include "bakewright/base/error.hpp"
#include "booth_surfaces.hpp"
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

/// Air that is where it is set lies off by what was learned.
std::vector<double> boundaries_k(const BuiltNetwork& built, const Booth& booth, double setpoint_k) {
    const double share = booth.learned.value(LearnedKind::air_offset) / booth.rise_of_full_offset_k();
    const bool is_where_set = !built.booth || booth.controller.kind == Controller::Kind::burner_limited;
    return {setpoint_k + (is_where_set ? share * (setpoint_k - booth.ambient_k) : 0.0), booth.ambient_k};
}

/// Whether a stage puts heat into the booth's air: air that is given, where it is over the ambient; a burner, where it may fire
/// and is set to more than the ambient.
bool heats_air(const BuiltNetwork& built, const Booth& booth, const ResolvedStage& stage) {
    if (!(std::max(stage.begin_k, stage.end_k) > booth.ambient_k)) return false;
    return !built.booth || booth.ventilation[static_cast<std::size_t>(fan_mode_of(stage.kind))].burner_may_fire;
}

/// Adds a stage, in two parts where the set point passes the ambient, at which local air begins to differ.
void add_part(std::vector<thermal::Segment>& segments, const BuiltNetwork& built, const Booth& booth, const ResolvedStage& stage,
              const std::vector<double>& source_w, std::size_t mode) {
    const auto add = [&](double begin_s, double end_s, double begin_k, double end_k) {
        segments.push_back({begin_s, end_s, boundaries_k(built, booth, begin_k), boundaries_k(built, booth, end_k), source_w,
                            mode, heats_air(built, booth, stage)});
    };
    const double share = (booth.ambient_k - stage.begin_k) / (stage.end_k - stage.begin_k);
    const double crossing_s = stage.begin_s + share * (stage.end_s - stage.begin_s);
    const bool crosses = crossing_s > stage.begin_s + kShortestPartS && crossing_s < stage.end_s - kShortestPartS;
    if (!crosses) return add(stage.begin_s, stage.end_s, stage.begin_k, stage.end_k);
    add(stage.begin_s, crossing_s, stage.begin_k, booth.ambient_k);
    add(crossing_s, stage.end_s, booth.ambient_k, stage.end_k);
}

/// A stage, its doors open first where it says so.
void add_stage(std::vector<thermal::Segment>& segments, const BuiltNetwork& built, const Booth& booth, const ResolvedStage& stage,
               const std::vector<double>& source_w) {
    const auto mode = static_cast<std::size_t>(fan_mode_of(stage.kind));
    const double shut_s = stage.begin_s + stage.door_open_s;
    if (stage.door_open_s < kShortestPartS) return add_part(segments, built, booth, stage, source_w, mode);
    ResolvedStage open = stage, shut = stage;
    open.end_s = shut.begin_s = std::min(shut_s, stage.end_s);
    open.end_k = shut.begin_k =
        stage.begin_k + (open.end_s - stage.begin_s) / (stage.end_s - stage.begin_s) * (stage.end_k - stage.begin_k);
    add_part(segments, built, booth, open, source_w, kDoorsOpenMode);
    if (shut.end_s - shut.begin_s > kShortestPartS) add_part(segments, built, booth, shut, source_w, mode);
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

namespace {

/// A surface at a moment: in straight lines between its usable samples, held before the first and after the last.
class SurfaceCourse {
public:
    explicit SurfaceCourse(const Trace& trace) : usable_(trace.usable_samples()) {}
    [[nodiscard]] double at_k(double time_s) const {
        const std::vector<double>&at_s = usable_.time_s, &at_k = usable_.temperature_k;
        const auto after = static_cast<std::size_t>(std::upper_bound(at_s.begin(), at_s.end(), time_s) - at_s.begin());
        if (after == 0) return at_k.front();
        if (after == at_s.size()) return at_k.back();
        const double share = (time_s - at_s[after - 1]) / (at_s[after] - at_s[after - 1]);
        return at_k[after - 1] + share * (at_k[after] - at_k[after - 1]);
    }

private:
    Trace usable_;
};

}  // namespace

std::vector<thermal::Segment> replay_segments(const BuiltNetwork& built, const Booth& booth, const Trace& air,
                                              const SurfaceTraces& surfaces, const std::vector<ResolvedStage>& stages) {
    std::vector<SurfaceCourse> courses;
    for (const BoothSurface which : built.logged) courses.emplace_back(*surfaces[static_cast<std::size_t>(which)]);
    const auto given_k = [&](std::size_t sample) {
        std::vector<double> boundary_k{air.temperature_k[sample], booth.ambient_k};
        for (const SurfaceCourse& course : courses) boundary_k.push_back(course.at_k(air.time_s[sample]));
        return boundary_k;
    };
    std::vector<thermal::Segment> segments;
    for (std::size_t i = 0; i + 1 < air.size(); ++i)
        segments.push_back({air.time_s[i], air.time_s[i + 1], given_k(i), given_k(i + 1), infrared_sources_w(built, {}),
                            static_cast<std::size_t>(mode_at(stages, (air.time_s[i] + air.time_s[i + 1]) / 2.0)),
                            std::max(air.temperature_k[i], air.temperature_k[i + 1]) > booth.ambient_k});
    return segments;
}

SurfaceDrive drive_by_surfaces(const Booth& booth, const SurfaceTraces& surfaces) {
    SurfaceDrive drive{booth, surfaces[static_cast<std::size_t>(BoothSurface::walls)]->usable_samples()};
    drive.booth.controller = {.kind = Controller::Kind::burner_limited};
    drive.booth.high_limit_k.reset();
    for (Ventilation& mode : drive.booth.ventilation) mode.burner_may_fire = false;
    drive.setpoint.temperature_k.assign(drive.setpoint.size(), booth.ambient_k);
    return drive;
}

namespace {

using thermal::Following;
using thermal::Place;

class Builder {
public:
    Builder(const Shell& shell, const Booth& booth, const PredictOptions& options, BoothAir air, double air_start_k,
            const SurfaceTraces& logged, double doorway_w_per_k)
        : shell_(shell),
          booth_(booth),
          options_(options),
          places_(cold_places(shell)),
          surroundings_(built_, booth, air, air_start_k, doorway_w_per_k),
          surfaces_(built_, surroundings_, shell, booth, options, air, air_start_k, logged) {}

    BuiltNetwork run() {
        for (const Cavity& cavity : shell_.cavities) add_cavity(cavity);
        for (const Zone& zone : shell_.zones) add_zone(zone);
        surfaces_.add_radiation(faces_);
        for (std::size_t i = 0; i < shell_.links.size(); ++i) add_link(i);
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
    static std::string name_of(const Link& link) { return link.from + " " + link.to; }
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
        double area_m2 = zone.area_m2;
        for (const ColdPlace& place : places_)
            if (place.zone == zone.name) area_m2 -= place.area_m2();
        const std::vector<Place> nodes = add_column({zone, stack, zone.name, area_m2, area_m2, area_m2});
        zones_[zone.name] = {nodes.front(), nodes.back()};
        const bool is_panel = zone.role == ZoneRole::test_panel;
        built_.origins.push_back({zone.name, is_panel ? TraceRole::test_panel : TraceRole::zone, plain(nodes.front())});
        if (nodes.size() > 1) built_.splits.push_back({zone.name, nodes.size(), stack.biot, stack.reason});
        for (const ColdPlace& place : places_)
            if (place.zone == zone.name) add_cold_place(zone, stack, place, nodes);
    }

    /// A part of a zone that is at one temperature over its area.
    struct Column {
        const Zone& zone;
        const StackNodes& stack;
        std::string name;
        double area_m2, outer_m2, inner_m2;  ///< of the stack, and of what is bare of each face
    };

    std::vector<Place> add_column(const Column& column) {
        const Zone& zone = column.zone;
        const std::size_t count = column.stack.capacity_j_per_m2_k.size();
        const double capacity_m2 = column.area_m2 * learned(LearnedKind::thickness, zone.name);
        std::vector<Place> nodes;
        for (std::size_t i = 0; i < count; ++i)
            nodes.push_back(network().add_node(count == 1 ? column.name : column.name + " layer " + std::to_string(i + 1),
                                               column.stack.capacity_j_per_m2_k[i] * capacity_m2,
                                               start_k(zone.start_temperature_k), factor(FactorKind::thickness, zone.name)));
        for (std::size_t i = 0; i < column.stack.between.size(); ++i)
            join_nodes(column, column.stack.between[i], nodes[i], nodes[i + 1]);
        add_face(column, FaceSide::outer, nodes.front());
        add_face(column, FaceSide::inner, nodes.back());
        add_infrared(column, nodes.front());
        return nodes;
    }

    /// A strip over a part that lags: the band of contact, the sheet beside it, and the way to the rest of the zone.
    void add_cold_place(const Zone& zone, const StackNodes& stack, const ColdPlace& place, const std::vector<Place>& rest) {
        const double band_m2 = place.contact_m2() + place.beside_contact_m2(), flank_m2 = place.flank_m2();
        Column over{zone, stack, place.name, band_m2, band_m2, band_m2};
        (place.is_outer_covered ? over.outer_m2 : over.inner_m2) = place.beside_contact_m2();
        const std::vector<Place> band = add_column(over);
        const std::vector<Place> flank = add_column({zone, stack, place.name + ", beside it", flank_m2, flank_m2, flank_m2});
        join_along(stack, place, kSeamGrid.to_flank, band, flank);
        join_along(stack, place, kSeamGrid.to_zone, flank, rest);
        strips_[place.link] = place.side == Link::Side::outer ? band.front() : band.back();
        built_.origins.push_back({place.name, TraceRole::zone, plain(band.front())});
    }

    /// Heat along the zone's sheet, so many fin lengths far.
    void join_along(const StackNodes& stack, const ColdPlace& place, double fin_lengths, const std::vector<Place>& from,
                    const std::vector<Place>& to) {
        const std::string link = name_of(shell_.links[place.link]);
        const double widths = place.flank_m / (fin_lengths * place.fin_length_m) * learned(LearnedKind::thickness, place.zone) *
                              learned(LearnedKind::link, link);
        for (std::size_t i = 0; i < from.size(); ++i)
            network().add_conduction(
                {from[i], to[i], stack.along_w_per_k[i] * widths, thermal::kNoAccount, factor(FactorKind::link, link)});
    }

    void join_nodes(const Column& column, const StackJoint& joint, Place from, Place to) {
        const std::string& zone = column.zone.name;
        if (joint.gap)
            network().add_gap_convection({.outer = from, .inner = to, .area_m2 = column.area_m2, .gap = *joint.gap});
        else
            network().add_conduction({from, to,
                                      joint.conductance_w_per_m2_k * column.area_m2 / learned(LearnedKind::thickness, zone),
                                      thermal::kNoAccount, factor(FactorKind::through, zone)});
        if (joint.exchange_factor > 0.0)
            network().add_radiation(
                {.wall = plain(from), .node = to, .exchange_area_m2 = joint.exchange_factor * column.area_m2});
    }

    void add_face(const Column& column, FaceSide side, Place node) {
        const Zone& zone = column.zone;
        const Face& face = face_of(zone, side);
        const double area_m2 = side == FaceSide::outer ? column.outer_m2 : column.inner_m2;
        if (face.view == FaceView::nothing) return;
        FaceExchange exchange = face_exchange(zone, side, booth_, options_);
        const Place surface = add_mask(column, face, area_m2, node);
        if (face.view == FaceView::booth) {
            const std::string group = film_group_of(zone);
            scale_film(exchange,
                       booth_.learned.value(LearnedKind::group_film, group) * learned(LearnedKind::zone_film, zone.name));
            add_face_film(built_, exchange, air_along(zone), surface, area_m2, built_.convection,
                          factor_of(built_, FactorKind::film, zone.name, group));
            const Outlook outlook = outlook_of(zone, lie_of(zone.orientation, side), shell_.size, underside_m());
            faces_.push_back({surface, area_m2, exchange.emissivity, outlook});
        } else {
            const Following air = plain(cavities_.at(face.cavity));
            scale_film(exchange, learned(LearnedKind::cavity_film, face.cavity));
            add_face_film(built_, exchange, air, surface, area_m2, thermal::kNoAccount,
                          factor(FactorKind::cavity_film, face.cavity));
            if (exchange.emissivity > 0.0)
                network().add_radiation({.wall = air, .node = surface, .exchange_area_m2 = exchange.emissivity * area_m2});
        }
    }

    Following air_along(const Zone& zone) {
        return surroundings_.with_error(surroundings_.air_at(zone.height_m), factor(FactorKind::own_air, zone.name),
                                        learned(LearnedKind::own_air, zone.name));
    }

    /// The lowest zone that faces down and looks at the booth's floor.
    std::optional<double> underside_m() const {
        std::optional<double> lowest_m;
        for (const Zone& zone : shell_.zones)
            if (zone.orientation == Orientation::faces_down && zone.outer.view == FaceView::booth && zone.role == ZoneRole::shell)
                lowest_m = std::min(lowest_m.value_or(zone.height_m), zone.height_m);
        return lowest_m;
    }

    /// The mask over a face as a node of its own, with still air behind it; the face itself where it is bare.
    Place add_mask(const Column& column, const Face& face, double area_m2, Place node) {
        const std::optional<MaskLayer> layer = mask_layer(face.masking);
        if (!layer) return node;
        const Place mask = network().add_node(column.name + " mask", layer->heat_capacity_j_per_m2_k * area_m2,
                                              start_k(column.zone.start_temperature_k));
        network().add_conduction({mask, node, layer->still_air_w_per_m2_k * area_m2});
        return mask;
    }

    void add_infrared(const Column& column, Place face) {
        network().add_source({face, built_.infrared});
        built_.infrared_zones.push_back(column.zone.name);
        built_.infrared_area_m2.push_back(column.zone.infrared_absorptance * column.outer_m2);
    }

    /// Into the strip over a part, where there is one.
    void add_link(std::size_t index) {
        const Link& link = shell_.links[index];
        const ZonePlaces &one = zones_.at(link.from), &other = zones_.at(link.to);
        Place from = link.from_side == Link::Side::outer ? one.outer : one.inner;
        Place to = link.to_side == Link::Side::outer ? other.outer : other.inner;
        double conductance_w_per_k = link.conductance_w_per_k;
        for (const ColdPlace& place : places_)
            if (place.link == index) {
                (place.zone == link.from ? from : to) = strips_.at(index);
                conductance_w_per_k = place.joint_w_per_k;
            }
        network().add_conduction({from, to, conductance_w_per_k * learned(LearnedKind::link, name_of(link)), thermal::kNoAccount,
                                  factor(FactorKind::link, name_of(link))});
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
    const std::vector<ColdPlace> places_;
    BuiltNetwork built_;
    Surroundings surroundings_;
    BoothSurfaces surfaces_;
    std::vector<BoothFace> faces_;
    std::map<std::string, ZonePlaces> zones_;
    std::map<std::size_t, Place> strips_;  ///< what a link joins in place of the zone, by its number
    std::map<std::string, Place> cavities_;
};

}  // namespace

BuiltNetwork build_network(const Shell& shell, const Booth& booth, const PredictOptions& options, BoothAir air,
                           double air_start_k, const SurfaceTraces& surfaces, double doorway_w_per_k) {
    return Builder(shell, booth, options, air, air_start_k, surfaces, doorway_w_per_k).run();
}

}  // namespace bakewright::bake
