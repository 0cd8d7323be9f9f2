// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "bakewright/bake/shell.hpp"

/// Where the skin of a coated zone runs over a part that lags behind it: a post, a rail, a bond line, a hinge.
namespace bakewright::bake {

/// What is taken from a sheet by the air while heat runs along it to a seam [W/(m2 K)]: fans 5, radiation 5 to 6 (common
/// practice). The conductance of a link along a seam is meant with it.
inline constexpr double kSeamFilmWPerM2K = 10.0;
/// Width of a contact that nobody states: the face of a 50 mm tube. Common practice, no source.
inline constexpr double kUsualContactWidthM = 0.05;
/// A strip that can stay no more than this behind its zone is left out [K].
inline constexpr double kLeastColdPlaceLagK = 0.5;

/// Two lumps and the zone itself for a sheet that loses heat through a seam: how much of it each lump holds and how far they are
/// apart, in fin lengths sqrt(k t / h). The first lump lies at the seam, beside the band of contact. Their heat into the seam is
/// that of an endless fin, sqrt(k t h) (T_far - T_seam), within 0.5 % for films from 0.3 to 6 times the one that the fin length
/// is told with; a test holds it.
///
///     Y = d0 m + 1 / (r1 + 1 / (d1 m + 1 / r2)) = sqrt(m),   m = h / h_told
///
/// Source of the form: Druskin & Knizhnerman, SIAM J. Numer. Anal. 37 (2000) 403 (spectrally matched grids; from memory); the
/// numbers are a minimax fit of our own over that range.
struct SeamGrid {
    double at_seam = 0.189;   ///< d0, held by the lump at the seam
    double to_flank = 0.639;  ///< r1
    double flank = 1.392;     ///< d1
    double to_zone = 3.306;   ///< r2
};
inline constexpr SeamGrid kSeamGrid{};

/// A strip of a coated zone over a part it is linked to, with a temperature of its own.
struct ColdPlace {
    std::string name;   ///< "side_lower over frame_posts"; of its trace and its verdict
    std::string title;  ///< "side skins, lower, over the frame posts"
    std::string zone;
    std::string over;                     ///< the part that lags: a zone that is not coated
    std::size_t link = 0;                 ///< number in Shell::links
    Link::Side side = Link::Side::inner;  ///< which face of the zone's stack it is joined to
    bool is_outer_covered = false;        ///< the part lies on the coated face; else behind it
    double seam_m = 0.0;                  ///< length of the line along which the two touch
    double width_m = 0.0;                 ///< of the contact
    double flank_m = 0.0;  ///< metres of sheet that run into the seam: twice its length where the sheet runs on at both sides
    double fin_length_m = 0.0;   ///< sqrt(k t / h) of the sheet; less where the zone has no room for it
    double joint_w_per_k = 0.0;  ///< between the strip and the part
    double largest_lag_k = 0.0;  ///< it can stay so far behind its zone: an estimate on the high side

    [[nodiscard]] double contact_m2() const noexcept { return seam_m * width_m; }
    [[nodiscard]] double beside_contact_m2() const noexcept { return flank_m * kSeamGrid.at_seam * fin_length_m; }
    [[nodiscard]] double flank_m2() const noexcept { return flank_m * kSeamGrid.flank * fin_length_m; }
    [[nodiscard]] double area_m2() const noexcept { return contact_m2() + beside_contact_m2() + flank_m2(); }
};

/// The places of a shell's coated zones that may stay more than kLeastColdPlaceLagK behind them, in the order of the links. By
/// link:
///
///  - one end is coated, the other is not: between two coated zones no place is colder than the colder one, which is judged;
///  - the other part warms more slowly, by its heat capacity over what the air gives it (12 W/m2K a face in the booth, 6 in a
///    cavity, common practice), on a ramp of 3 K/min over 50 K;
///  - no air gap parts the coated face from the face that is joined.
///
/// Where the link tells no seam its length is told from the conductance, as if nothing but the sheet itself stood between the
/// two, L = G / (2 sqrt(k t h)): that makes the strip as cold as the part, on the safe side. One that would take more than most
/// of its zone is a contact over an area and no seam: then there is no strip. Only for shells without problems.
[[nodiscard]] std::vector<ColdPlace> cold_places(const Shell& shell);

/// The zone that a place is a strip of; the name itself where it is none's.
[[nodiscard]] std::string zone_of_place(const Shell& shell, const std::string& name);

}  // namespace bakewright::bake
