#pragma once

#include "bakewright/plan/chances.hpp"
#include "setpoint_run.hpp"

namespace bakewright::plan {

/// Asks an ensemble of one set point which holds cure and spare, from one bake of each member with the longest hold:
///  - a zone's longest stay at a row of the sheet grows second by second with the hold, so that the hold a member needs is the
///    longest less what its stay has over the minimum; a dose beyond 1 counts at the rate of its peak;
///  - the time a zone or item is at or above a limit tells when into the hold it came there. What an item gains after the burner
///    went off, as the middle of the model has it after `hold_s`, is taken off its limit.
/// The difference between the exact answer for the middle of the model and the one found in this way shifts all members.
///  - earlier coats and items go on from what they had before, of which the middle is taken: how far off earlier bakes may have
///    been is not asked;
///  - differences across a bond and heating rates show in the heat-up or the cool-down: no hold mends them. Each is corrected by
///  what
///    the middle of the model reads in its bake. Flash-off is timed by the painter, no model comes into it.
/// Of a bake that was cut short the cure before the break counts only by that shift.
/// @param hold_s  a hold near which the answer is wanted: where the middle of the model cures
[[nodiscard]] HoldChances hold_chances(SetpointRun& run, const Settings& set, const Confidence& confidence, double hold_s);

}  // namespace bakewright::plan
