// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <functional>
#include <map>
#include <optional>

#include "bakewright/plan/chances.hpp"
#include "requirements.hpp"
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
[[nodiscard]] HoldBound where_cured(SetpointRun& run, const Requirements& requirements, double shortest_s, double longest_s,
                                    double error_s);
/// Where sparing ends: a longer hold never cools anything.
[[nodiscard]] HoldBound where_spared(SetpointRun& run, const Requirements& requirements, double shortest_s, double longest_s,
                                     double error_s);

/// The shortest hold in whole minutes, from `shortest_s` up to `longest_s`, that cures; nothing where none does.
[[nodiscard]] std::optional<double> shortest_curing_hold_s(SetpointRun& run, const Requirements& requirements, double shortest_s,
                                                           double longest_s);

/// What the members of a cycle with a hold say of holds near it: a zone's stay grows second by second with the hold, and so does
/// what an item or an earlier coat gets.
[[nodiscard]] HoldChances hold_chances(const EnsemblePrediction& ensemble, double hold_s);

/// The holds of one set point, in whole minutes, each asked of an ensemble of its own cycle: the very one by which that cycle is
/// judged when it is predicted. Nothing is asked twice.
class SureHolds {
public:
    /// @param run  must outlive it
    SureHolds(SetpointRun& run, const Settings& set, const Confidence& confidence)
        : run_(run), set_(set), confidence_(confidence) {}

    [[nodiscard]] const HoldChances& at(double hold_s);
    [[nodiscard]] bool is_sure(double hold_s) { return at(hold_s).exact_chance >= confidence_.level; }
    /// The shortest sure hold from the shortest that is tried up to `until_s`: one minute less is not sure. Looked for from
    /// `guess_s`. Nothing where none was found.
    [[nodiscard]] std::optional<double> shortest_s(double guess_s, double until_s);
    /// The longest sure hold up to `until_s`. @param from_s  is sure
    [[nodiscard]] double longest_s(double from_s, double until_s);

private:
    SetpointRun& run_;
    Settings set_;
    const Confidence& confidence_;
    std::map<long, HoldChances> asked_;  ///< by minutes
};

}  // namespace bakewright::plan
