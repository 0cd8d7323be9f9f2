// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/fields.hpp"
#include "bakewright/base/trace.hpp"

/// What was logged of a booth with nothing inside, and what is said of its numbers.
namespace bakewright::tune {

/// Air that was logged at a height.
struct AirAtHeight {
    double height_m = 0.0;
    Trace trace{};
};

/// One run of an empty booth: cold at first, heated at full power to one setting, held there, then without heat, the fans as in a
/// bake all the time.
struct EmptyRun {
    std::string name;                ///< of the log, for people
    std::vector<AirAtHeight> air{};  ///< one at least; the one nearest half the booth's height is its reference air
    std::optional<Trace> walls{}, ceiling{}, floor{};
    std::optional<Trace> outside{};                   ///< what the booth stands in, and what it draws in
    std::optional<Trace> setpoint{};                  ///< as the controller had it
    std::optional<double> setpoint_k{};               ///< as somebody read it off the controller, where it was one
    std::optional<double> heat_on_s{}, heat_off_s{};  ///< by the log's time, where told; else they are found
    bool fans_change = false;  ///< the fans went to another mode with the heat: what follows is another booth, and is left out
};

/// Its parts in time.
struct RunPhases {
    double heat_on_s = 0.0;
    double flat_out_until_s = 0.0;  ///< until then the heater gives all it has
    double heat_off_s = 0.0;        ///< the log's end where the heat stays on
    double end_s = 0.0;
    double start_k = 0.0;  ///< of the air
    double hold_k = 0.0;   ///< of the air, in the middle of its hold
    double swing_k = 0.0;  ///< of the air while it is held, from the 5 to the 95 % quantile
    [[nodiscard]] bool has_cooling() const noexcept { return end_s > heat_off_s; }
};

/// What the log says of one number of the booth.
struct BoothNumber {
    std::string key;         ///< of the profile: "burner.power"
    std::string name;        ///< "heater"
    FieldUnit unit{};        ///< in which people are told it
    Spread before{}, now{};  ///< 5 %, likeliest, 95 %
    bool is_told = false;    ///< false: as open as before, and its value in the profile is kept
    std::string told_by;     ///< what of the log tells it; where it does not, what would
};

/// A smaller rise tells little of a booth [K]. Common practice, no source.
inline constexpr double kLeastRunRiseK = 15.0;

/// The name under which a logged test panel of 0.8 mm steel, hung free in the middle, would count. No other shell is in an empty
/// booth.
inline constexpr std::string_view kRunPanel = "free test panel";

}  // namespace bakewright::tune
