// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "bakewright/base/format.hpp"
#include "bakewright/cure/verdict.hpp"

/// The sentence behind a verdict, in the trade's words and the user's units. Made from the numbers in the verdict alone, so that
/// a face can say the same thing in other units. The sentence starts in lower case and has no full stop.
namespace bakewright::cure {

[[nodiscard]] std::string reason_text(const ZoneVerdict& verdict, const Units& units);
[[nodiscard]] std::string reason_text(const ItemVerdict& verdict, const Units& units);
[[nodiscard]] std::string reason_text(const HeatWarning& warning, const Units& units);

/// When a film that is cured may be worked on, by the sheet: "sandable 1 h after the bake, cooled (data sheet); tape-free, to be
/// polished: time not in the profile, see the sheet". Never told from cure alone.
[[nodiscard]] std::string after_bake_text(const Coating& coating);

/// "0.71 reacted of 0.80 asked after 42.0 min; glass transition risen to 58.0 degC"; empty without a rate law.
[[nodiscard]] std::string conversion_text(const ZoneVerdict& verdict, const Units& units);

/// "28 to 40 min": least to most of a band of seconds; one number where both print alike.
[[nodiscard]] std::string band_minutes_text(const Band& band_s);

}  // namespace bakewright::cure
