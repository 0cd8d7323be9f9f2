// SPDX-License-Identifier: Apache-2.0
#include "booth_surfaces.hpp"

#include <algorithm>
#include <string>

namespace bakewright::bake {

using thermal::Following;
using thermal::Place;

namespace {

constexpr std::array kAllSurfaces{BoothSurface::walls, BoothSurface::ceiling, BoothSurface::floor};
constexpr double kLeastExchangeM2 = 1e-9;

std::string name_of(BoothSurface which) { return std::string(word_of(which)); }

}  // namespace

FloorNodes floor_nodes() noexcept {
    FloorNodes nodes;
    for (std::size_t i = 0; i < kFloorDepthsM.size(); ++i) {
        const double above_m = i == 0 ? 0.0 : kFloorDepthsM[i] - kFloorDepthsM[i - 1];
        const double below_m = i + 1 < kFloorDepthsM.size() ? kFloorDepthsM[i + 1] - kFloorDepthsM[i] : above_m;
        nodes.capacity_j_per_m2_k[i] = kConcreteHeatCapacityJPerM3K * 0.5 * (above_m + below_m);
        if (i + 1 < kFloorDepthsM.size()) nodes.conductance_w_per_m2_k[i] = kConcreteConductivityWPerMK / below_m;
    }
    return nodes;
}

BoothSurfaces::BoothSurfaces(BuiltNetwork& built, Surroundings& air, const Shell& shell, const Booth& booth,
                             const PredictOptions& options, BoothAir driven, double air_start_k, const SurfaceTraces& logged)
    : built_(built),
      air_(air),
      shell_(shell),
      booth_(booth),
      emissivity_(factor_of(built, FactorKind::emissivity)),
      error_(factor_of(built, FactorKind::surroundings)),
      error_k_(booth.learned.value(LearnedKind::surroundings)) {
    built_.surfaces = built_.network.add_account("surfaces");
    choose(driven, logged);
    for (const BoothSurface which : kAllSurfaces)
        if (at(which).kind == Kind::balance) add_balance(which, options, air_start_k);
    // Surfaces at a stated distance from the air are one: told once, beside the reference air.
    for (const BoothSurface which : kAllSurfaces)
        if (at(which).kind != Kind::stated)
            built_.origins.push_back({name_of(which), TraceRole::booth_wall, {at(which).place, 1.0, 0.0, thermal::kNoFactor}});
        else if (which == BoothSurface::walls)
            built_.origins.push_back({name_of(which), TraceRole::booth_wall, air_.stated_walls(0.0)});
}

/// What is measured is given, and stands for what is built alike beside it: the walls for ceiling and panel floor. The rest has
/// balances, unless the booth states one distance for all.
void BoothSurfaces::choose(BoothAir driven, const SurfaceTraces& logged) {
    const BoothSize box = booth_.inside();
    const double height_m[]{0.5 * box.height_m, box.height_m, 0.0};
    const bool is_stated = driven == BoothAir::given && booth_.states_wall_offset();
    for (const BoothSurface which : kAllSurfaces) {
        Surface& surface = at(which);
        surface.height_m = height_m[static_cast<std::size_t>(which)];
        if (logged[static_cast<std::size_t>(which)] != nullptr) {
            surface.kind = Kind::given;
            surface.place = built_.network.add_boundary(name_of(which));
            built_.logged.push_back(which);
            continue;
        }
        const bool follows_walls =
            which == BoothSurface::ceiling || (which == BoothSurface::floor && (booth_.floor == FloorKind::panel || is_stated));
        if (follows_walls && at(BoothSurface::walls).kind == Kind::given)
            surface = {Kind::given, at(BoothSurface::walls).place, surface.height_m};
        else if (is_stated)
            surface.kind = Kind::stated;
    }
}

void BoothSurfaces::add_balance(BoothSurface which, const PredictOptions& options, double air_start_k) {
    using Lie = thermal::FilmModel::Lie;
    const double area_m2 = booth_.surface_areas_m2()[static_cast<std::size_t>(which)];
    const bool is_floor = which == BoothSurface::floor;
    if (is_floor && booth_.floor == FloorKind::concrete)
        add_slab(area_m2, std::min(air_start_k, booth_.ambient_k));
    else
        add_panel(which, area_m2, air_start_k);
    FaceExchange exchange = wall_exchange(booth_, options);
    if (which != BoothSurface::walls) {
        exchange.film.lie = is_floor ? Lie::facing_up : Lie::facing_down;
        const BoothSize box = booth_.inside();
        exchange.film.area_over_perimeter_m = 0.5 * box.length_m * box.width_m / (box.length_m + box.width_m);
    }
    scale_film(exchange, booth_.learned.value(LearnedKind::group_film, kBoothWallGroup));
    add_face_film(built_, exchange, air_.air_at(at(which).height_m), at(which).place, area_m2, built_.surfaces,
                  factor_of(built_, FactorKind::film, is_floor ? "booth floor" : kBoothWallGroup, kBoothWallGroup));
}

void BoothSurfaces::add_panel(BoothSurface which, double area_m2, double start_k) {
    const double capacity_j_per_k =
        booth_.wall_heat_capacity_j_per_m2_k * area_m2 * booth_.learned.value(LearnedKind::wall_capacity);
    at(which).place =
        built_.network.add_node(name_of(which), capacity_j_per_k, start_k, factor_of(built_, FactorKind::wall_capacity));
    built_.booth_nodes.push_back(at(which).place.index);
    const double loss_w_per_k = booth_.wall_loss().value * area_m2 * booth_.learned.value(LearnedKind::wall_loss);
    built_.network.add_conduction({at(which).place, air_.outside(), loss_w_per_k,
                                   built_.booth ? built_.booth->wall_loss : thermal::kNoAccount,
                                   factor_of(built_, FactorKind::wall_loss)});
}

void BoothSurfaces::add_slab(double area_m2, double start_k) {
    const FloorNodes nodes = floor_nodes();
    const thermal::FactorIndex factor = factor_of(built_, FactorKind::floor);
    const double scale_m2 = area_m2 * booth_.learned.value(LearnedKind::floor);
    Place above;
    for (std::size_t i = 0; i < kFloorDepthsM.size(); ++i) {
        const std::string name = name_of(BoothSurface::floor) + (i == 0 ? "" : " depth " + std::to_string(i));
        const Place node = built_.network.add_node(name, nodes.capacity_j_per_m2_k[i] * scale_m2, start_k, factor);
        built_.booth_nodes.push_back(node.index);
        if (i == 0)
            at(BoothSurface::floor).place = node;
        else
            built_.network.add_conduction(
                {above, node, nodes.conductance_w_per_m2_k[i - 1] * scale_m2, thermal::kNoAccount, factor});
        above = node;
    }
}

/// Walls are hotter where the air along them is.
Following BoothSurfaces::seen_from(BoothSurface which, double height_m) {
    const Surface& surface = at(which);
    if (which == BoothSurface::walls && surface.kind == Kind::balance)
        return air_.risen_with_height(surface.place, height_m, surface.height_m);
    if (surface.kind == Kind::stated) return air_.stated_walls(booth_.vertical_offset_k(height_m));
    return {surface.place, 1.0, 0.0, thermal::kNoFactor};
}

/// A small body in a large enclosure at one temperature.
void BoothSurfaces::add_stated(const BoothFace& face) {
    if (!(face.emissivity > 0.0)) return;
    built_.network.add_radiation(
        {.wall = air_.with_error(air_.stated_walls(booth_.vertical_offset_k(face.outlook.height_m)), error_, error_k_),
         .node = face.node,
         .exchange_area_m2 = face.emissivity * face.area_m2 * shell_.learned.value(LearnedKind::emissivity),
         .account = built_.radiation,
         .factor = emissivity_});
}

void BoothSurfaces::add_radiation(const std::vector<BoothFace>& faces) {
    if (std::all_of(surfaces_.begin(), surfaces_.end(), [](const Surface& one) { return one.kind == Kind::stated; })) {
        for (const BoothFace& face : faces) add_stated(face);
        return;
    }
    std::vector<SeenShares> views;
    for (const BoothFace& face : faces) views.push_back(view_of(face.outlook, shell_.size, booth_.inside()));
    add_under_shell(faces, views);
    add_to_surfaces(faces, views);
}

/// What hangs under the shell and its underside see one another, and less of the booth. Directly: no share is so large that
/// reflections between them count.
void BoothSurfaces::add_under_shell(const std::vector<BoothFace>& faces, std::vector<SeenShares>& views) {
    const auto is_underside = [](const BoothFace& face) { return face.outlook.lie == thermal::FilmModel::Lie::facing_down; };
    constexpr double kMostHidden = 0.5;  // of an underside; the rest sees the floor whatever is drawn there
    double underside_m2 = 0.0, hidden_m2 = 0.0;
    for (std::size_t i = 0; i < faces.size(); ++i) {
        if (is_underside(faces[i])) underside_m2 += faces[i].area_m2;
        hidden_m2 += faces[i].area_m2 * views[i].shell;
    }
    if (!(hidden_m2 > 0.0) || !(underside_m2 > 0.0)) return;
    const double share = std::min(1.0, kMostHidden * underside_m2 / hidden_m2);
    for (std::size_t i = 0; i < faces.size(); ++i) {
        if (!(views[i].shell > 0.0)) continue;
        views[i].booth[0] += (1.0 - share) * views[i].shell;
        views[i].shell *= share;
        for (const BoothFace& other : faces) {
            if (!is_underside(other)) continue;
            const double area_m2 =
                faces[i].area_m2 * views[i].shell * other.area_m2 / underside_m2 * faces[i].emissivity * other.emissivity;
            if (area_m2 > kLeastExchangeM2)
                built_.network.add_radiation({.wall = {faces[i].node, 1.0, 0.0, thermal::kNoFactor},
                                              .node = other.node,
                                              .exchange_area_m2 = area_m2,
                                              .factor = emissivity_});
        }
    }
    for (std::size_t i = 0; i < faces.size(); ++i)
        if (is_underside(faces[i]))
            for (double& seen : views[i].booth) seen *= 1.0 - share * hidden_m2 / underside_m2;
}

void BoothSurfaces::add_to_surfaces(const std::vector<BoothFace>& faces, const std::vector<SeenShares>& views) {
    std::vector<SeeingFace> seeing;
    for (std::size_t i = 0; i < faces.size(); ++i) seeing.push_back({faces[i].area_m2, faces[i].emissivity, views[i].booth});
    const ExchangeAreas areas = exchange_areas(seeing, booth_);
    for (std::size_t i = 0; i < faces.size(); ++i)
        for (const BoothSurface which : kAllSurfaces) {
            const double area_m2 = areas.face_m2[i][static_cast<std::size_t>(which)];
            if (area_m2 <= kLeastExchangeM2) continue;
            built_.network.add_radiation({.wall = air_.with_error(seen_from(which, faces[i].outlook.height_m), error_, error_k_),
                                          .node = faces[i].node,
                                          .exchange_area_m2 = area_m2 * shell_.learned.value(LearnedKind::emissivity),
                                          .account = built_.radiation,
                                          .factor = emissivity_});
        }
    add_among_surfaces(areas.between_m2);
}

void BoothSurfaces::add_among_surfaces(const std::array<double, 3>& between_m2) {
    for (std::size_t pair = 0; pair < kSurfacePairs.size(); ++pair) {
        auto [one, other] = kSurfacePairs[pair];
        if (at(other).kind != Kind::balance) std::swap(one, other);
        if (at(other).kind != Kind::balance) continue;
        built_.network.add_radiation(
            {.wall = seen_from(one, at(one).height_m), .node = at(other).place, .exchange_area_m2 = between_m2[pair]});
    }
}

}  // namespace bakewright::bake
