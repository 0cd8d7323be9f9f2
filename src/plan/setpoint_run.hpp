#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/plan/plan.hpp"
#include "course.hpp"
#include "cycle_shape.hpp"

namespace bakewright::plan {

/// After the burner goes off a bake is followed for so long: items behind linings go on warming.
inline constexpr double kFollowedCoolS = 3.0 * kSecondPerHour;

/// A bake of the search: the traces that are judged, flash-off to the end of the cool-down that is followed.
struct Baked {
    Settings set;
    TraceSet traces;
    double begin_of_cool_s = 0.0;
};

/// What all set points of a search share: the network, built once, and what is read from it. Refers to task and options.
class BakeModel {
public:
    BakeModel(const PlanTask& task, const PlanOptions& options);

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
    SetpointRun(const BakeModel& model, const Settings& set);

    /// The bake with a hold up to the longest. Good until the next call.
    [[nodiscard]] const Baked& bake(double hold_s);
    /// The same, its traces only up to the end of the hold: needs no solve where one can go on.
    [[nodiscard]] const Baked& heat(double hold_s);
    /// How much more heat is in shell, cavities and items at the end of the last bake's heat than at its start [J].
    [[nodiscard]] double stored_j() const noexcept { return stored_j_; }
    [[nodiscard]] const BakeModel& model() const noexcept { return model_; }
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

    const BakeModel& model_;
    Settings set_;
    double begin_of_hold_s_;
    thermal::Network network_;
    std::optional<Course> heat_up_;
    Baked baked_;
    double stored_j_ = 0.0;
};

}  // namespace bakewright::plan
