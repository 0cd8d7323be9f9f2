#pragma once

#include <optional>
#include <vector>

#include "bakewright/base/trace.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/cure/readings.hpp"
#include "bakewright/cure/rule.hpp"
#include "bakewright/cure/verdict.hpp"

namespace bakewright::cure {

/// Largest rise is taken over this span [s]: the most useful sample interval for a painted skin is no longer than a minute.
/// Common practice, no source.
inline constexpr double kHeatingRateSpanS = 60.0;

/// The steepest rise of a coated face over that span before it first reached the schedule's temperature: by then the solvent has
/// left (common practice, no source). It is what the sheet's largest heating rate is held against; nothing where no span is
/// whole.
[[nodiscard]] std::optional<RiseReading> rise_before_schedule(const Trace& face, const Coating& coating);

/// Judges one zone's trace against a coating, taking the trace for the temperature the sheet means. Both readings (time at
/// temperature, dose) are made; the word follows docs/judging.md. A trace with fewer than two usable samples gives
/// Word::not_judged.
/// @param coating  checked: problems_in(coating) is empty
/// @throws PromiseError where the trace is not well formed or the coating has no schedule
[[nodiscard]] ZoneVerdict judge_zone(const Trace& trace, const Coating& coating);

/// Judges one item's trace against its limits.
/// @param near_k  CHECK where a limit would be passed if the item were hotter by so many kelvin; for a never-exceed limit that is
/// a
///                peak within near_k under it. Default 3 K, common practice (probe class and model together)
[[nodiscard]] ItemVerdict judge_item(const Trace& trace, const HeatSensitiveItem& item, double near_k = kItemMarginK);

/// Puts how sure it is, and with it the word: what is not sure is CHECK, and so is an UNDER that the chemistry doubts.
void settle(ZoneVerdict& verdict, Certainty certainty);
void settle(ItemVerdict& verdict, Certainty certainty);

/// Sorts zones and items anew after their words have changed: the worst first.
void sort_worst_first(BakeVerdict& verdict);

/// The word of an item's readings: what judge_item() gives, for readings that were changed since.
[[nodiscard]] Word item_word(const ItemVerdict& verdict);

/// Judges every trace of role zone or test_panel named in coated_zones (all of those roles where the list is empty), and every
/// item. An item or coated zone without a trace is NOT JUDGED. A coating whose basis is booth air is judged on the booth-air
/// trace for every zone, with a remark; peak, absolute maximum and heating rate stay the zone's own. The verdict does not depend
/// on the order of the traces. Warnings need a booth-air trace that shows the heat coming on; flash-off is counted from time 0 to
/// that moment.
[[nodiscard]] BakeVerdict judge_bake(const TraceSet& traces, const Coating& coating, const std::vector<HeatSensitiveItem>& items,
                                     const std::vector<std::string>& coated_zones = {});

}  // namespace bakewright::cure
