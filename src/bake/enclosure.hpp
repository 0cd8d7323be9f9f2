// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <Eigen/Core>
#include <span>
#include <utility>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/shell.hpp"
#include "bakewright/thermal/films.hpp"

/// What a shell and the surfaces of its booth see of one another, and the heat they exchange by radiation.
namespace bakewright::bake {

/// Emissivity of walls, ceiling and floor: paint and concrete, 0.88 to 0.93. Source: IDBL, table A.11.
inline constexpr double kSurfaceEmissivity = 0.9;

/// How a face looks out into the booth.
struct Outlook {
    thermal::FilmModel::Lie lie = thermal::FilmModel::Lie::vertical;
    double height_m = 0.0;       ///< of its middle over the floor
    double half_extent_m = 0.0;  ///< upright: it reaches so far up and down from there
    bool is_at_end = false;      ///< upright: it looks along the booth, not across
    /// It hangs under the shell, whose underside is so far above it; absent: nothing of the shell stands before it.
    std::optional<double> under_shell_m{};
};
/// Of a zone by its drawn places. @param underside_m  height of the shell's underside, where it has one
[[nodiscard]] Outlook outlook_of(const Zone& zone, thermal::FilmModel::Lie lie, const std::optional<ShellSize>& size,
                                 std::optional<double> underside_m);

/// What a face sees: shares of walls, ceiling and floor, and of the shell's own underside; together 1.
struct SeenShares {
    BySurface booth{};
    double shell = 0.0;
};
/// Of a face of a shell that stands in the middle of a rectangular booth. An upright face is a strip that sees the floor and the
/// ceiling before it by the element's view factor, its mean over the height by three Gauss points; a roof or an underside a strip
/// across the shell's width; the walls are the rest.
/// Leaves out: what the shell hides of the booth from itself beyond its underside (a mirror, a ladder), places along the length.
[[nodiscard]] SeenShares view_of(const Outlook& outlook, const std::optional<ShellSize>& size, const BoothSize& booth);

/// A face that takes part.
struct SeeingFace {
    double area_m2 = 0.0;
    double emissivity = 0.0;  ///< 0 to 1
    BySurface view{};         ///< sums to 1 or less
};

/// Pairs of surfaces, in the order in which their exchange is told.
inline constexpr std::array<std::pair<BoothSurface, BoothSurface>, 3> kSurfacePairs{
    std::pair{BoothSurface::walls, BoothSurface::ceiling}, std::pair{BoothSurface::walls, BoothSurface::floor},
    std::pair{BoothSurface::ceiling, BoothSurface::floor}};

/// The booth's side of an enclosure.
struct Room {
    BySurface area_m2{};
    Eigen::Matrix3d seen_m2 = Eigen::Matrix3d::Zero();  ///< area times view factor between its surfaces, by BoothSurface
};
/// The box less what the shell hides of each surface from the others: what they see of one another shrinks row and column alike
/// until each sees as much as is left to it. A booth smaller than what is seen of it (records may say so) is taken as large
/// enough.
[[nodiscard]] Room room_round(std::span<const SeeingFace> faces, const Booth& booth);

/// Exchange areas E [m2] of a grey enclosure: heat from one to the other is E sigma (T_1^4 - T_2^4).
struct ExchangeAreas {
    std::vector<BySurface> face_m2;    ///< of each face with each surface
    std::array<double, 3> between_m2;  ///< of kSurfacePairs
};
/// Solves the radiosities of a grey, diffuse enclosure of the faces, which do not see one another, and the booth's three surfaces
/// once for all temperatures. What a face gets from other faces by way of the surfaces, a few hundredths, is counted as if from
/// the surfaces, in proportion: a network of all pairs would be dense. A test holds the two apart by their heat.
/// Source: IDBL, section 13.3 (radiosity); exchange areas by eliminating the radiosities.
[[nodiscard]] ExchangeAreas exchange_areas(std::span<const SeeingFace> faces, const Booth& booth);

}  // namespace bakewright::bake
