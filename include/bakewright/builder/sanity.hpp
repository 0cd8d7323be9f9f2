// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "bakewright/builder/build.hpp"
#include "bakewright/profile/kind.hpp"
#include "bakewright/profile/library.hpp"
#include "bakewright/profile/shell_profile.hpp"

namespace bakewright::builder {

/// Part of a shell from this thickness on is heavy metal: a post, a rail, a frame [m]. A tube of 2.5 mm wall has 2.4 mm of metal
/// behind each square metre of its outline. Common practice.
inline constexpr double kHeavyThicknessM = 0.002;
/// A coated part may be larger than the rectangles that the drawing gives it by this factor before it is asked about. Ribs,
/// returns and double curves make half as much again; twice is a slip.
inline constexpr double kMostAreaFactor = 2.0;

/// Air in a closed body of which nobody said how much: this share of the outer box, by floor height and rounding. Common
/// practice.
inline constexpr double kUsualAirShare = 0.7;
/// Primed but not finished: its emissivity is that of paint. Source: infrared instrument manuals, paint of any colour 0.8 to
/// 0.95.
inline constexpr double kPrimedEmissivity = 0.9;
/// Air that masked openings and drain holes let through; common practice, no source.
inline constexpr const char* kMaskedLeakage = "4 per h";

/// Mass of a part's solid layers [kg].
[[nodiscard]] double zone_mass_kg(const bake::Zone& zone);

/// One face of what the drawing of a shell shows: how long along `from` to `to`, how high along `low` to `high` [m].
struct DrawnFace {
    double along_m = 0.0, up_m = 0.0;
    int count = 1;           ///< faces that look alike: 2 of "sides" and "ends"
    bool is_of_hull = true;  ///< false inside and beside, which are as large as an end
};
[[nodiscard]] DrawnFace drawn_face(bake::DrawnOn on, const bake::ShellSize& size) noexcept;

/// What looks odd in a shell that has no mistakes; each is a question, none a refusal. Keys are paths of the profile.
///  - heavy metal that no heat path leads to, though the drawing has it at or under the skins;
///  - a closed body without air inside;
///  - a part that is nowhere on the drawing, where others are on it;
///  - a coated part of more than kMostAreaFactor times what the sizes and its place allow;
///  - parts that weigh more than the whole was said to (answers.mass).
[[nodiscard]] std::vector<Doubt> doubts_in(const profile::ShellProfile& profile);

/// What is to be said of a profile without mistakes beside its numbers: its doubts, each as "CHECK: question (key)"; and, where
/// it keeps the answers that it was made of and they would make another by now, that these are as it was made: what stands in the
/// profile counts, and questions that are gone through again begin at the answers. What was learned from bakes does not count.
/// @param id  name of the profile
[[nodiscard]] std::vector<std::string> notes_on(profile::Kind kind, const std::string& text, const std::string& id,
                                                const profile::Library& library);

}  // namespace bakewright::builder
