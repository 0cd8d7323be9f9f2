// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/fields.hpp"

namespace bakewright::builder {

/// How two parts hold together, by what one sees.
enum class Seam {
    welded,
    stitch_welded,   ///< a quarter of the length
    spot_welded,     ///< a spot every 50 mm
    riveted,         ///< a rivet every 75 mm
    glued,           ///< a thick bead, 25 x 3 mm
    taped,           ///< foam tape, 19 x 1.1 mm
    rubber_strip,    ///< 20 x 3 mm
    one_sheet,       ///< one sheet that is described as two parts
    bolted,          ///< a piece
    hinged,          ///< a piece
    rubber_mounted,  ///< a piece
    clipped,         ///< a piece
    not_touching
};

/// One thin sheet at a seam. Posts and rails of 2.5 mm and more are no sheet: they are as warm at the seam as elsewhere.
struct SeamSheet {
    double conductivity_w_per_m_k = 0.0;
    double thickness_m = 0.0;
    bool runs_on_both_sides = false;  ///< over a post; false: it ends at the seam
};

/// A heat path [W/K], with the range that its kind leaves open.
struct SeamPath {
    Spread w_per_k{};
    std::string source{};
};

/// From this thickness on metal counts as a post, not as a sheet.
inline constexpr double kPostThicknessM = 0.0025;

/// Heat path along a seam: each sheet is a fin that runs into it.
///     G = L / (sum over sheets of 1 / (n sqrt(k t h)) + R'),   n = 2 where the sheet runs on at both sides, else 1
/// with h = bake::kSeamFilmWPerM2K.
/// Source: Incropera & DeWitt, Fundamentals of Heat and Mass Transfer, 6th ed., table 3.4 (infinite fin); R' in seams.cpp.
/// @param seam  one that has a length
[[nodiscard]] SeamPath path_along(Seam seam, double length_m, const std::vector<SeamSheet>& sheets);
/// Heat path through so many pieces: bolts, hinges, mounts, clips.
[[nodiscard]] SeamPath path_through(Seam seam, double count);
/// Whether it counts by the piece.
[[nodiscard]] bool is_by_piece(Seam seam) noexcept;

/// All of them, from the closest to none.
[[nodiscard]] std::vector<Seam> all_seams();
/// What people call it: "spot welds".
[[nodiscard]] std::string_view words_for(Seam seam) noexcept;
/// "welded", "spots", "rivets", "glued", "tape", "loose". @throws NotUnderstood
[[nodiscard]] Seam heard_seam(std::string_view text);

}  // namespace bakewright::builder
