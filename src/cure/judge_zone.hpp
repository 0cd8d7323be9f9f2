#pragma once

#include "bakewright/cure/judge.hpp"
#include "coating_curves.hpp"

namespace bakewright::cure {

/// judge_zone() with the curves ready, and with the trace the schedule means apart from the coated face's own: the two differ
/// where the schedule means booth air.
[[nodiscard]] ZoneVerdict judge_zone(const Trace& schedule_trace, const Trace& face_trace, const CoatingCurves& curves);

/// A zone that cannot be judged.
[[nodiscard]] ZoneVerdict zone_not_judged(std::string zone, TraceRole role, NotJudged why);
[[nodiscard]] ItemVerdict item_not_judged(std::string item, NotJudged why);

}  // namespace bakewright::cure
