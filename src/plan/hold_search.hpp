#pragma once

#include <functional>
#include <optional>

#include "demands.hpp"
#include "setpoint_run.hpp"

namespace bakewright::plan {

/// The hold at which a demand turns from met to not met, or the other way, to within an error. Both ends were tried.
struct Turn {
    double before_s = 0.0, after_s = 0.0;
    Standing before, after;
};

/// Whether a demand is met at every hold of a range, at none, or where that turns.
struct HoldBound {
    enum class Kind { met_always, met_never, turns } kind = Kind::met_never;
    Turn turn;    ///< where it turns
    Standing at;  ///< where it does not: at the end of the range that comes nearest to turning
};

/// Root of a standing between two holds at which its spare has different signs (Boost.Math, TOMS 748: bracketing, with inverse
/// cubic steps).
[[nodiscard]] Turn turn_between(const std::function<Standing(double hold_s)>& standing, double low_s, Standing low, double high_s,
                                Standing high, double error_s);

/// Where curing begins: a longer hold never shortens a stay or lowers a dose.
[[nodiscard]] HoldBound where_cured(SetpointRun& run, const Demands& demands, double shortest_s, double longest_s,
                                    double error_s);
/// Where sparing ends: a longer hold never cools anything.
[[nodiscard]] HoldBound where_spared(SetpointRun& run, const Demands& demands, double shortest_s, double longest_s,
                                     double error_s);

/// The shortest hold in whole minutes, from `shortest_s` up to `longest_s`, that cures; nothing where none does.
[[nodiscard]] std::optional<double> shortest_curing_hold_s(SetpointRun& run, const Demands& demands, double shortest_s,
                                                           double longest_s);

}  // namespace bakewright::plan
