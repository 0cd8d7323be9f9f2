// SPDX-License-Identifier: Apache-2.0
#include "enclosure.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "bakewright/thermal/view_factors.hpp"

namespace bakewright::bake {
namespace {

using Lie = thermal::FilmModel::Lie;

/// Gauss points of a length from -1 to 1, and their shares.
constexpr std::array<std::pair<double, double>, 3> kGauss{std::pair{-0.774596669241483, 5.0 / 18.0}, std::pair{0.0, 8.0 / 18.0},
                                                          std::pair{0.774596669241483, 5.0 / 18.0}};
/// A face stands at least so far from a wall, and from floor and ceiling [m].
constexpr double kLeastGapM = 0.1;
/// A shell without a size takes so much of the booth's width and length: common practice, no source.
constexpr double kUsualShare = 0.5;

double between(double value, double low, double high) { return std::max(low, std::min(value, high)); }

SeenShares upright_view(const Outlook& outlook, const std::optional<ShellSize>& size, const BoothSize& booth) {
    const double room_m = outlook.is_at_end ? booth.length_m : booth.width_m;
    const double shell_m = size ? (outlook.is_at_end ? size->length_m : size->width_m) : kUsualShare * room_m;
    const double gap_m = std::max(0.5 * (room_m - shell_m), kLeastGapM);
    const double breadth_m = 0.5 * (outlook.is_at_end ? booth.width_m : booth.length_m);
    SeenShares view;
    for (const auto& [at, share] : kGauss) {
        const double edge_m = std::min(kLeastGapM, 0.25 * booth.height_m);
        const double height_m = between(outlook.height_m + at * outlook.half_extent_m, edge_m, booth.height_m - edge_m);
        view.booth[2] += share * 2.0 * thermal::view_factor_to_perpendicular_corner(gap_m, breadth_m, height_m);
        view.booth[1] += share * 2.0 * thermal::view_factor_to_perpendicular_corner(gap_m, breadth_m, booth.height_m - height_m);
    }
    if (outlook.under_shell_m) {
        const double reach_m = size ? 0.5 * size->width_m : 0.5 * shell_m;
        view.shell = 2.0 * thermal::view_factor_to_perpendicular_corner(reach_m, breadth_m, *outlook.under_shell_m);
        view.booth[1] = 0.0;
    }
    view.booth[0] = 1.0 - view.booth[1] - view.booth[2] - view.shell;
    return view;
}

SeenShares level_view(const Outlook& outlook, const std::optional<ShellSize>& size, const BoothSize& booth) {
    const bool looks_up = outlook.lie == Lie::facing_up;
    const double away_m = looks_up ? booth.height_m - outlook.height_m : outlook.height_m;
    const double distance_m = between(away_m, std::min(kLeastGapM, 0.25 * booth.height_m), booth.height_m);
    const double half_m = std::min(0.5 * booth.width_m, 0.5 * (size ? size->width_m : kUsualShare * booth.width_m));
    double seen = 0.0;
    for (const auto& [at, share] : kGauss)
        for (const double side : {-1.0, 1.0})
            seen += share * 2.0 *
                    thermal::view_factor_to_parallel_corner(0.5 * booth.length_m, 0.5 * booth.width_m + side * at * half_m,
                                                            distance_m);
    SeenShares view;
    view.booth[looks_up ? 1 : 2] = seen;
    view.booth[0] = 1.0 - seen;
    return view;
}

}  // namespace

Outlook outlook_of(const Zone& zone, Lie lie, const std::optional<ShellSize>& size, std::optional<double> underside_m) {
    Outlook outlook{.lie = lie, .height_m = zone.height_m};
    if (zone.places.empty()) return outlook;
    const DrawnPlace& place = zone.places.front();
    outlook.is_at_end = place.on == DrawnOn::front_end || place.on == DrawnOn::rear_end || place.on == DrawnOn::ends;
    if (place.on == DrawnOn::underside) {
        if (underside_m && *underside_m > zone.height_m) outlook.under_shell_m = *underside_m - zone.height_m;
    } else if (size && place.on != DrawnOn::top && place.on != DrawnOn::inside && place.on != DrawnOn::beside) {
        outlook.half_extent_m = 0.5 * (place.high - place.low) * size->height_m;
    }
    return outlook;
}

SeenShares view_of(const Outlook& outlook, const std::optional<ShellSize>& size, const BoothSize& booth) {
    return outlook.lie == Lie::vertical ? upright_view(outlook, size, booth) : level_view(outlook, size, booth);
}

namespace {

using Square = Eigen::Matrix3d;

/// Of a booth's surface at least this share is seen by other surfaces, whatever the records say of the shell's size.
constexpr double kLeastFree = 0.2;
/// A surface sees so much of itself: folds, lights, a pit. Keeps the shares of an odd box solvable.
constexpr double kOwnView = 0.01;

/// Of the empty box: areas times view factors.
Square empty_box_m2(const Booth& booth) {
    const BoothSize box = booth.inside();
    const BySurface area_m2 = box.areas_m2();
    const double across = thermal::view_factor_of_opposite_rectangles(box.length_m, box.width_m, box.height_m);
    Square seen_m2;
    const double up_m2 = area_m2[1] * across, aside_m2 = area_m2[1] - up_m2;
    seen_m2 << area_m2[0] - 2.0 * aside_m2, aside_m2, aside_m2, aside_m2, 0.0, up_m2, aside_m2, up_m2, 0.0;
    for (int k = 0; k < 3; ++k) seen_m2(k, k) += kOwnView * area_m2[static_cast<std::size_t>(k)];
    return seen_m2;
}

}  // namespace

Room room_round(std::span<const SeeingFace> faces, const Booth& booth) {
    Room room{booth.surface_areas_m2(), empty_box_m2(booth)};
    std::array<double, 3> free_m2{};
    for (std::size_t k = 0; k < 3; ++k) {
        double hidden_m2 = 0.0;
        for (const SeeingFace& face : faces) hidden_m2 += face.area_m2 * face.view[k];
        room.area_m2[k] = std::max(room.area_m2[k], hidden_m2 / (1.0 - kLeastFree));
        free_m2[k] = room.area_m2[k] - hidden_m2;
    }
    Eigen::Vector3d scale = Eigen::Vector3d::Ones();
    for (int round = 0; round < 500; ++round)
        for (int k = 0; k < 3; ++k) {
            const double sum_m2 = scale(k) * room.seen_m2.row(k).dot(scale);
            scale(k) *= std::sqrt(free_m2[static_cast<std::size_t>(k)] / sum_m2);
        }
    room.seen_m2 = scale.asDiagonal() * room.seen_m2 * scale.asDiagonal();
    return room;
}

namespace {

/// Radiosities J = R (e E + what faces send), R the inverse of I - reflectivity * (what a surface gets of another, by way of the
/// faces too).
Square radiosity_matrix(std::span<const SeeingFace> faces, const Room& room) {
    Square matrix = room.seen_m2;
    for (const SeeingFace& face : faces)
        for (int k = 0; k < 3; ++k)
            for (int l = 0; l < 3; ++l)
                matrix(k, l) += face.area_m2 * (1.0 - face.emissivity) * face.view[static_cast<std::size_t>(k)] *
                                face.view[static_cast<std::size_t>(l)];
    for (int k = 0; k < 3; ++k) matrix.row(k) *= -(1.0 - kSurfaceEmissivity) / room.area_m2[static_cast<std::size_t>(k)];
    return (Square::Identity() + matrix).inverse();
}

Eigen::Vector3d vector_of(const BySurface& view) { return {view[0], view[1], view[2]}; }

}  // namespace

ExchangeAreas exchange_areas(std::span<const SeeingFace> faces, const Booth& booth) {
    const Room room = room_round(faces, booth);
    const Square radiosity = radiosity_matrix(faces, room);
    const double reflected = 1.0 - kSurfaceEmissivity;
    ExchangeAreas areas;
    for (const SeeingFace& face : faces) {
        const Eigen::Vector3d view = vector_of(face.view);
        const Eigen::Vector3d reached = radiosity.transpose() * view;  // by surface: what of its emission arrives
        // What the face sends comes back to itself over the surfaces.
        double own_m2 = 0.0;
        for (int k = 0; k < 3; ++k)
            own_m2 += reached(k) * reflected * face.area_m2 * view(k) / room.area_m2[static_cast<std::size_t>(k)];
        own_m2 *= face.emissivity * face.emissivity * face.area_m2;
        const double all_m2 = face.emissivity * face.area_m2 * view.sum() - own_m2;
        BySurface area_m2{};
        for (int k = 0; k < 3; ++k) area_m2[static_cast<std::size_t>(k)] = all_m2 * reached(k) / std::max(reached.sum(), 1e-300);
        areas.face_m2.push_back(area_m2);
    }
    for (std::size_t pair = 0; pair < kSurfacePairs.size(); ++pair) {
        const auto k = static_cast<int>(kSurfacePairs[pair].first), l = static_cast<int>(kSurfacePairs[pair].second);
        areas.between_m2[pair] =
            room.area_m2[static_cast<std::size_t>(k)] * kSurfaceEmissivity * kSurfaceEmissivity * radiosity(k, l) / reflected;
    }
    return areas;
}

}  // namespace bakewright::bake
