#pragma once

#include <map>
#include <optional>

#include "bakewright/plan/chances.hpp"
#include "setpoint_run.hpp"

namespace bakewright::plan {

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
