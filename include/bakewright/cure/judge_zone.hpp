// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "bakewright/cure/rule.hpp"
#include "bakewright/cure/verdict.hpp"

namespace bakewright::cure {

/// Judges one zone's trace against a coating, taking the trace for the temperature the sheet means. Both readings (time at
/// temperature, dose) are made; the word follows docs/judging.md. A trace with fewer than two usable samples gives
/// Word::not_judged.
/// @param coating  checked: problems_in(coating) is empty
/// @throws PromiseError where the trace is not well formed or the coating has no schedule
[[nodiscard]] ZoneVerdict judge_zone(const Trace& trace, const Coating& coating);

/// judge_zone() with the curves ready, and with the trace the schedule means apart from the coated face's own: the two differ
/// where the schedule means booth air.
[[nodiscard]] ZoneVerdict judge_zone(const Trace& schedule_trace, const Trace& face_trace, const CoatingCurves& curves);

/// A coat that has been in no bake: nothing earned. Bakes are added to it.
[[nodiscard]] ZoneVerdict no_bake_yet(std::string zone, TraceRole role, const CoatingCurves& curves);

/// Adds what a further bake gave, and finds the word anew. Neither stays nor their credit add up: the sheet asks for one unbroken
/// stay.
/// @param lost_while_warm  samples were lost that may have been warm: an UNDER is not sure then
void add_bake(ZoneVerdict& total, const ZoneVerdict& bake, bool lost_while_warm, const CoatingCurves& curves);

/// Whether a trace lacks samples that may have been warm.
[[nodiscard]] bool lost_while_warm(const Trace& trace, double warm_k);

/// A zone that cannot be judged.
[[nodiscard]] ZoneVerdict zone_not_judged(std::string zone, TraceRole role, NotJudged why);

/// Puts how sure it is, and with it the word: what is not sure is CHECK, and so is an UNDER that the chemistry doubts.
void settle(ZoneVerdict& verdict, Certainty certainty);

}  // namespace bakewright::cure
