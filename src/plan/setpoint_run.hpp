// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "bakewright/bake/built_network.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/plan/task.hpp"

namespace bakewright::plan {

/// A solve as it went: every node at every output moment, from which traces are read.
class Course {
public:
    /// Solves from where the network's nodes start. @param network  of `built`, with starts of its own
    Course(const bake::BuiltNetwork& built, const thermal::Network& network, std::vector<thermal::Segment> segments,
           const bake::PredictOptions& options);

    [[nodiscard]] std::span<const double> time_s() const noexcept { return time_s_; }
    /// Every node at a moment: by the cubic through the four output moments round it that lie from `from_s` on, where a segment
    /// with a corner at its beginning starts. Promise: from_s <= time_s <= the end.
    [[nodiscard]] std::vector<double> nodes_at(double time_s, double from_s) const;
    /// The temperatures of a place at the output moments up to `until_s`, added to a trace; those not later than its last are
    /// left out.
    void add_to(Trace& trace, const bake::TraceOrigin& origin, double until_s) const;
    [[nodiscard]] double place_k(const bake::TraceOrigin& origin, std::span<const double> node_k, double time_s) const;

private:
    [[nodiscard]] double boundary_k(std::size_t index, double time_s) const;

    std::vector<thermal::Segment> segments_;
    std::size_t nodes_;
    std::vector<double> time_s_;
    std::vector<double> node_k_;  ///< nodes_ values a moment
};

/// What the search sets.
struct Settings {
    double setpoint_k = 0.0;
    double ramp_k_per_s = 0.0;
    double hold_s = 0.0;
};

/// How a planned cycle is put together from its settings. Refers to the options.
class CycleShape {
public:
    CycleShape(const PlanTask& task, const PlanOptions& options);

    /// @param cool_s  from the end of the heat to the end of the cycle; at least as long as the booth takes to come down
    [[nodiscard]] bake::Cycle cycle(const Settings& set, double cool_s) const;
    /// The stage of cycle() that is set.hold_s long.
    [[nodiscard]] std::size_t hold_index(const Settings& set) const;
    /// When the hold begins, and when the burner goes off for the cool-down.
    [[nodiscard]] double begin_of_hold_s(const Settings& set) const;
    [[nodiscard]] double begin_of_cool_s(const Settings& set) const;
    /// How long the air is taken down.
    [[nodiscard]] double fall_s(const Settings& set) const;
    /// As asked, or as much lower as booth and coating want it.
    [[nodiscard]] double ramp_k_per_s() const noexcept { return ramp_k_per_s_; }
    /// The ramps to be tried, falling: one where it is not free.
    [[nodiscard]] std::vector<double> ramps_to_try() const;
    [[nodiscard]] double start_air_k() const noexcept { return start_air_k_; }
    [[nodiscard]] double flash_off_s() const noexcept { return flash_off_s_; }
    [[nodiscard]] double purge_s() const noexcept { return purge_s_; }

private:
    [[nodiscard]] std::vector<bake::Stage> until_hold(const Settings& set) const;
    [[nodiscard]] std::vector<bake::Stage> heat(const Settings& set) const;
    void go_to(std::vector<bake::Stage>& stages, double setpoint_k, double rate_k_per_s) const;

    double start_air_k_ = 0.0;
    double wait_s_ = 0.0, purge_s_ = 0.0, flash_off_s_ = 0.0;
    double ramp_k_per_s_ = 0.0;
    double slowest_ramp_k_per_s_ = 0.0;
    double fall_k_per_s_ = 0.0;
    bool falls_as_it_rose_ = false;
    const std::vector<Step>& steps_;
    const std::vector<Step>& second_holds_;
};

/// After the burner goes off a bake is followed for so long: items behind linings go on warming.
inline constexpr double kFollowedCoolS = 3.0 * kSecondPerHour;

/// A bake of the search: the traces that are judged, flash-off to the end of the cool-down that is followed.
struct Baked {
    Settings set;
    TraceSet traces;
    double begin_of_cool_s = 0.0;
};

/// What all set points of a search share: the network, built once, and what is read from it. Refers to task and options.
class SearchModel {
public:
    SearchModel(const PlanTask& task, const PlanOptions& options);

    [[nodiscard]] const PlanTask& task() const noexcept { return task_; }
    [[nodiscard]] const PlanOptions& options() const noexcept { return options_; }
    [[nodiscard]] const CycleShape& shape() const noexcept { return shape_; }
    [[nodiscard]] const bake::BuiltNetwork& built() const noexcept { return built_; }
    /// The places whose traces are judged.
    [[nodiscard]] const std::vector<bake::TraceOrigin>& watched() const noexcept { return watched_; }
    [[nodiscard]] const std::vector<std::string>& coated() const noexcept { return coated_; }
    /// Whether a solve can go on from the temperatures of the nodes alone; a controller remembers more.
    [[nodiscard]] bool can_go_on() const noexcept { return built_.network.heaters().empty(); }

    /// The whole cycle, its cool-down cut to `cool_s`, sampled as finely as a bake that is kept.
    [[nodiscard]] bake::Prediction predict(const bake::Cycle& cycle) const;
    /// What an ensemble says of it, with what the shell had before.
    [[nodiscard]] EnsemblePrediction ensemble(const bake::Cycle& cycle, const Confidence& confidence,
                                              std::size_t thread_count) const;

private:
    const PlanTask& task_;
    const PlanOptions& options_;
    CycleShape shape_;
    bake::BuiltNetwork built_;
    std::vector<std::string> coated_;
    std::vector<bake::TraceOrigin> watched_;
};

/// One set point and ramp. The heat-up is solved once, up to the longest hold; a bake with a shorter hold goes on from there.
class SetpointRun {
public:
    /// @param set  its hold is the longest that will be asked for
    SetpointRun(const SearchModel& model, const Settings& set);

    /// The bake with a hold up to the longest. Good until the next call.
    [[nodiscard]] const Baked& bake(double hold_s);
    /// The same, its traces only up to the end of the hold: needs no solve where one can go on.
    [[nodiscard]] const Baked& heat(double hold_s);
    /// How much more heat is in shell, cavities and items at the end of the last bake's heat than at its start [J].
    [[nodiscard]] double stored_j() const noexcept { return stored_j_; }
    /// The same in the booth's own surfaces (and air, where it is solved for).
    [[nodiscard]] double stored_in_booth_j() const noexcept { return stored_in_booth_j_; }
    [[nodiscard]] const SearchModel& model() const noexcept { return model_; }
    /// The whole cycle with that hold, its cool-down cut to handling temperature by the middle of the model.
    [[nodiscard]] bake::Cycle cycle(double hold_s);
    /// How long that is, to whole minutes.
    [[nodiscard]] double cool_s();
    /// What an ensemble says of such a cycle, by its set point alone: the same that is asked when it is judged.
    [[nodiscard]] EnsemblePrediction ensemble(const bake::Cycle& cycle, const Confidence& confidence) const;
    /// From the end of the heat until every coated zone is below handling temperature; as long as is followed where that is
    /// never.
    [[nodiscard]] double cooled_after_s() const;

private:
    [[nodiscard]] std::vector<thermal::Segment> segments(const Settings& set) const;
    void begin(double hold_s);
    [[nodiscard]] const Trace* had_before(const std::string& name) const;
    void go_on(double hold_s);
    void solve_whole(double hold_s);
    void note_stored(std::span<const double> node_k);

    const SearchModel& model_;
    Settings set_;
    double begin_of_hold_s_;
    thermal::Network network_;
    std::optional<Course> heat_up_;
    Baked baked_;
    double stored_j_ = 0.0, stored_in_booth_j_ = 0.0;
};

}  // namespace bakewright::plan
