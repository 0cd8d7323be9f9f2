#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/base/trace.hpp"

namespace bakewright::cure {

/// What a heated booth does. Outside of it, a log whose other reading lies inside was most likely written in the other unit.
/// Common practice, no source: rooms and bodies start between 0 and 42 degC, bakes of this trade go to 35 to 100 degC.
struct PlausibleBake {
    double coldest_start_k = 273.15;
    double hottest_start_k = 315.15;
    double least_peak_k = 308.15;
    double most_peak_k = 373.15;
};

/// The unit a set of traces seems to be written in, where it is not the one it was read in.
enum class LikelyUnit {
    fahrenheit_read_as_celsius,  ///< 70 degF read as 70 degC
    celsius_read_as_fahrenheit   ///< 60 degC read as 60 degF
};

/// Asks whether a log was read in the wrong unit: as it stands it is no plausible bake, in the other unit it is. Looks at where
/// the traces start (median) and at the hottest of them, usable samples alone. Nothing for a plausible bake, and for one that is
/// plausible in neither unit. It only asks: nothing is changed.
[[nodiscard]] std::optional<LikelyUnit> likely_other_unit(const TraceSet& traces, const PlausibleBake& bake = {});

/// The question in words, in lower case and without a full stop.
[[nodiscard]] std::string question_text(LikelyUnit unit);

}  // namespace bakewright::cure
