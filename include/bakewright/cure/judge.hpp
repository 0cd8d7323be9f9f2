// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/base/trace.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/cure/judge_item.hpp"
#include "bakewright/cure/judge_zone.hpp"
#include "bakewright/cure/readings.hpp"
#include "bakewright/cure/verdict.hpp"

namespace bakewright::cure {

/// Judges every trace of role zone or test_panel named in coated_zones (all of those roles where the list is empty), and every
/// item. An item or coated zone without a trace is NOT JUDGED. A coating whose basis is booth air is judged on the booth-air
/// trace for every zone, with a remark; peak, absolute maximum and heating rate stay the zone's own. The verdict does not depend
/// on the order of the traces. Warnings need a booth-air trace that shows the heat coming on; flash-off is counted from time 0 to
/// that moment.
[[nodiscard]] BakeVerdict judge_bake(const TraceSet& traces, const Coating& coating, const std::vector<HeatSensitiveItem>& items,
                                     const std::vector<std::string>& coated_zones = {});

/// The steepest rise of a coated face over kHeatingRateSpanS before it first reached the schedule's temperature: by then the
/// solvent has left (common practice, no source). It is what the sheet's largest heating rate is held against; nothing where no
/// span is whole.
[[nodiscard]] std::optional<RiseReading> rise_before_schedule(const Trace& face, const Coating& coating);

/// Sorts zones and items anew after their words have changed: the worst first.
void sort_worst_first(BakeVerdict& verdict);

/// Warnings about the wait before heat: none, or one.
/// @param heat_on_s  when the heat came on
[[nodiscard]] std::vector<HeatWarning> flash_off_warnings(double heat_on_s, const Coating& coating);

/// A warning where a coated face rose faster than the sheet allows before it first reached the schedule's temperature: by then
/// the solvent has left (common practice, no source). Over spans of one minute.
[[nodiscard]] std::vector<HeatWarning> heating_rate_warnings(const Trace& face, const Coating& coating);

/// By kind, then the worst first, then by name.
void sort_warnings(std::vector<HeatWarning>& warnings);

/// A zone to be judged, and its trace; null where there is none under its name.
struct CoatedZone {
    std::string name;
    const Trace* trace = nullptr;
};

/// The named zones, or every zone and test panel of the traces where no name is given.
[[nodiscard]] std::vector<CoatedZone> coated_traces(const TraceSet& traces, const std::vector<std::string>& coated_zones);

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
