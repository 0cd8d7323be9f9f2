// SPDX-License-Identifier: Apache-2.0
#include "bakewright/bake/predict.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <span>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/build_network.hpp"
#include "bakewright/bake/built_network.hpp"
#include "bakewright/base/error.hpp"
#include "bakewright/base/fields.hpp"
#include "bakewright/thermal/solve.hpp"

namespace bakewright::bake {
namespace {

/// Collects traces and heat accounts while a solve reports. Refers to what it is made with for its lifetime.
class Recorder {
public:
    /// @param interval_s  between the moments that the solve reports
    Recorder(const BuiltNetwork& built, const Booth& booth, std::span<const thermal::Segment> segments, double interval_s);

    void operator()(double time_s, std::span<const double> node_k, std::span<const double> account_j);

    [[nodiscard]] HeatAccount heat() const;
    [[nodiscard]] double surfaces_j() const { return last_account_j_[built_.surfaces]; }
    /// Promise: the booth was solved for.
    [[nodiscard]] BoothRun booth_run(const std::vector<thermal::HeaterSwitch>& switches) const;
    /// Every node at the last reported moment.
    [[nodiscard]] const std::vector<double>& last_node_k() const noexcept { return last_node_k_; }
    [[nodiscard]] TraceSet take() { return std::move(traces_); }

private:
    [[nodiscard]] double boundary_k(std::size_t index, double time_s) const;
    [[nodiscard]] bool is_booth_node(std::size_t node) const;
    [[nodiscard]] double stored_j(bool in_booth) const;
    void watch_burner(double time_s, double burner_j);

    const BuiltNetwork& built_;
    const Booth& booth_;
    std::span<const thermal::Segment> segments_;
    std::size_t segment_ = 0;
    TraceSet traces_;
    std::vector<double> last_node_k_, last_account_j_;
    double last_s_ = 0.0, largest_power_w_ = 0.0, full_power_s_ = 0.0, pulsing_s_ = 0.0;
};

/// A burner counts as flat out from this share of its power on, and as out below this share.
constexpr double kFlatOut = 0.99;

constexpr double kOut = 1e-6;

Recorder::Recorder(const BuiltNetwork& built, const Booth& booth, std::span<const thermal::Segment> segments, double interval_s)
    : built_(built), booth_(booth), segments_(segments) {
    const double span_s = segments.back().end_s - segments.front().begin_s;
    const auto moments = static_cast<std::size_t>(span_s / interval_s) + segments.size() + 2;
    for (const TraceOrigin& origin : built.origins) {
        traces_.traces.push_back({origin.name, origin.role, {}, {}, {}});
        traces_.traces.back().time_s.reserve(moments);
        traces_.traces.back().temperature_k.reserve(moments);
    }
}

void Recorder::operator()(double time_s, std::span<const double> node_k, std::span<const double> account_j) {
    while (segment_ + 1 < segments_.size() && time_s > segments_[segment_].end_s) ++segment_;
    for (std::size_t i = 0; i < built_.origins.size(); ++i) {
        const thermal::Following& at = built_.origins[i].at;
        const double place_k =
            at.place.kind == thermal::Place::Kind::node ? node_k[at.place.index] : boundary_k(at.place.index, time_s);
        traces_.traces[i].time_s.push_back(time_s);
        traces_.traces[i].temperature_k.push_back(at.at_k(place_k));
    }
    if (built_.booth && !last_account_j_.empty()) watch_burner(time_s, account_j[built_.booth->burner]);
    last_s_ = time_s;
    last_node_k_.assign(node_k.begin(), node_k.end());
    last_account_j_.assign(account_j.begin(), account_j.end());
}

void Recorder::watch_burner(double time_s, double burner_j) {
    const double span_s = time_s - last_s_;
    const double power_w = (burner_j - last_account_j_[built_.booth->burner]) / span_s;
    largest_power_w_ = std::max(largest_power_w_, power_w);
    if (power_w >= kFlatOut * booth_.burner_power_w) full_power_s_ += span_s;
    const bool is_steady = booth_.controller.kind == Controller::Kind::proportional_integral ||
                           booth_.controller.kind == Controller::Kind::burner_limited;
    const double least_w = booth_.burner_power_w / booth_.burner_turndown;
    if (is_steady && power_w > kOut * booth_.burner_power_w && power_w < least_w) pulsing_s_ += span_s;
}

HeatAccount Recorder::heat() const {
    HeatAccount heat;
    heat.convection_j = last_account_j_[built_.convection];
    heat.radiation_j = last_account_j_[built_.radiation];
    heat.infrared_j = last_account_j_[built_.infrared];
    heat.stored_j = stored_j(false);
    heat.closure_j = heat.convection_j + heat.radiation_j + heat.infrared_j - heat.stored_j;
    return heat;
}

BoothRun Recorder::booth_run(const std::vector<thermal::HeaterSwitch>& switches) const {
    using Kind = thermal::HeaterSwitch::Kind;
    BoothRun run;
    run.burner_j = last_account_j_[built_.booth->burner];
    run.fresh_air_j = -last_account_j_[built_.booth->make_up];
    run.wall_loss_j = last_account_j_[built_.booth->wall_loss];
    run.shell_j = last_account_j_[built_.convection] + last_account_j_[built_.radiation];
    run.stored_j = stored_j(true);
    run.closure_j = run.burner_j - run.fresh_air_j - run.wall_loss_j - run.shell_j - run.stored_j;
    run.largest_power_w = largest_power_w_;
    run.full_power_s = full_power_s_;
    run.pulsing_s = pulsing_s_;
    run.starts = static_cast<std::size_t>(
        std::count_if(switches.begin(), switches.end(), [](const auto& one) { return one.kind == Kind::on; }));
    const auto trip = std::find_if(switches.begin(), switches.end(), [](const auto& one) { return one.kind == Kind::tripped; });
    if (trip != switches.end()) run.tripped_s = trip->time_s;
    return run;
}

bool Recorder::is_booth_node(std::size_t node) const {
    return std::find(built_.booth_nodes.begin(), built_.booth_nodes.end(), node) != built_.booth_nodes.end();
}

double Recorder::stored_j(bool in_booth) const {
    double stored_j = 0.0;
    for (std::size_t i = 0; i < last_node_k_.size(); ++i) {
        const thermal::Network::Node& node = built_.network.nodes()[i];
        if (is_booth_node(i) == in_booth) stored_j += node.heat_capacity_j_per_k * (last_node_k_[i] - node.start_k);
    }
    return stored_j;
}

double Recorder::boundary_k(std::size_t index, double time_s) const {
    const thermal::Segment& segment = segments_[segment_];
    const double share = (time_s - segment.begin_s) / (segment.end_s - segment.begin_s);
    return segment.boundary_begin_k[index] + share * (segment.boundary_end_k[index] - segment.boundary_begin_k[index]);
}

void refuse_problems(const Shell& shell, const Booth& booth, const PredictOptions& options) {
    options.check();
    std::vector<Problem> found = problems_in(shell);
    std::vector<Problem> in_booth = problems_in(booth);
    found.insert(found.end(), in_booth.begin(), in_booth.end());
    if (!found.empty()) throw InputError(std::move(found));
}

void refuse_unknown_infrared_zones(const Shell& shell, const Cycle& cycle) {
    std::vector<Problem> found;
    for (std::size_t i = 0; i < cycle.stages.size(); ++i) {
        if (!cycle.stages[i].infrared) continue;
        for (const std::string& zone : cycle.stages[i].infrared->zones)
            if (shell.find_zone(zone) == nullptr)
                found.push_back({{},
                                 0,
                                 fmt::format("stage[{}].infrared.zones", i),
                                 fmt::format("'{}' is not a zone of shell '{}'", zone, shell.id)});
    }
    if (!found.empty()) throw InputError(std::move(found));
}

/// Samples of all traces together: a third of a gigabyte.
constexpr double kMostSamples = 20e6;

/// Two days of ten-second samples of the largest shell are fewer; a finer interval is for shorter bakes.
void refuse_too_many_samples(const BuiltNetwork& built, const std::vector<thermal::Segment>& segments,
                             const PredictOptions& options) {
    const double span_s = segments.back().end_s - segments.front().begin_s;
    const double moments = span_s / options.output_interval_s + static_cast<double>(segments.size());
    const double traces = static_cast<double>(built.origins.size());
    if (moments * traces <= kMostSamples) return;
    throw InputError(
        Problem{{},
                0,
                "output-interval",
                fmt::format("is {:g} s: {:.3g} h of {} traces would be {:.2g} samples; accepted for these is {:.2g} s "
                            "or more",
                            options.output_interval_s, span_s / kSecondPerHour, built.origins.size(), moments * traces,
                            std::ceil(10.0 * span_s * traces / kMostSamples) / 10.0)});
}

Prediction run(const BuiltNetwork& built, const Booth& booth, const std::vector<thermal::Segment>& segments,
               const PredictOptions& options) {
    refuse_too_many_samples(built, segments, options);
    Recorder recorder(built, booth, segments, options.output_interval_s);
    const auto began = std::chrono::steady_clock::now();
    const thermal::SolveOptions solve_options{.relative_tolerance = options.relative_tolerance,
                                              .absolute_tolerance_k = options.absolute_tolerance_k,
                                              .output_interval_s = options.output_interval_s};
    const thermal::SolveStatistics statistics = thermal::solve(built.network, segments, solve_options, std::ref(recorder));
    Prediction prediction;
    RunSummary& summary = prediction.summary;
    summary.compute_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count();
    summary.ran = true;
    summary.stepper = statistics.stepper;
    summary.nodes = built.network.node_count();
    summary.accepted_steps = statistics.accepted_steps;
    summary.rejected_steps = statistics.rejected_steps;
    summary.rate_evaluations = statistics.rate_evaluations;
    summary.splits = built.splits;
    summary.heat = recorder.heat();
    summary.surfaces_j = recorder.surfaces_j();
    if (built.booth) summary.booth = recorder.booth_run(statistics.switches);
    for (std::size_t i = 0; i < recorder.last_node_k().size(); ++i)
        prediction.node_end_k[built.network.nodes()[i].name] = recorder.last_node_k()[i];
    prediction.traces = recorder.take();
    return prediction;
}

}  // namespace

void PredictOptions::check() const {
    FieldCheck found;
    found.within("start-temperature", start_temperature_k, {-40.0, 250.0}, unit::deg_c);
    found.within("every", output_interval_s, {0.1, 3600.0}, unit::s);
    found.within("after", after_s, {0.0, kLongestCycleH}, unit::h);
    found.within("relative tolerance", relative_tolerance, {1e-12, 1e-2}, unit::none);
    found.within("absolute tolerance", absolute_tolerance_k, {1e-9, 1.0}, unit::k);
    found.within("film-factor", film_factor, {0.01, 100.0}, unit::none);
    found.throw_if_any();
}

Prediction predict(const Shell& shell, const Booth& booth, const Cycle& cycle, const PredictOptions& options) {
    refuse_problems(shell, booth, options);
    const std::vector<ResolvedStage> stages = resolve(cycle, booth);
    refuse_unknown_infrared_zones(shell, cycle);
    const BuiltNetwork built = build_network(shell, booth, options, booth_air_of(booth), stages.front().begin_k, {},
                                             doorway_loss_w_per_k(booth, stages));
    Prediction prediction = run(built, booth, cycle_segments(built, booth, cycle, stages, options.after_s), options);
    prediction.stages = stages;
    return prediction;
}

Prediction predict_from_air(const Shell& shell, const Booth& booth, const Trace& air, const PredictOptions& options,
                            const SurfaceTraces& surfaces) {
    refuse_problems(shell, booth, options);
    const Trace usable = air.usable_samples();
    if (usable.size() < 2)
        throw InputError(Problem{{}, 0, air.name, "has fewer than two usable samples: a replay needs an air trace"});
    const BuiltNetwork built = build_network(shell, booth, options, BoothAir::given, usable.temperature_k.front(), surfaces);
    return run(built, booth, replay_segments(built, booth, usable, surfaces), options);
}

Prediction predict_from_surfaces(const Shell& shell, const Booth& booth, const SurfaceTraces& surfaces,
                                 const PredictOptions& options) {
    refuse_problems(shell, booth, options);
    const Trace* walls = surfaces[static_cast<std::size_t>(BoothSurface::walls)];
    if (walls == nullptr || walls->usable_samples().size() < 2)
        throw InputError(Problem{{}, 0, "booth wall", "has fewer than two usable samples: a replay needs air or walls"});
    const SurfaceDrive drive = drive_by_surfaces(booth, surfaces);
    const BuiltNetwork built =
        build_network(shell, drive.booth, options, BoothAir::solved, walls->usable_samples().temperature_k.front(), surfaces);
    return run(built, drive.booth, replay_segments(built, drive.booth, drive.setpoint, surfaces), options);
}

}  // namespace bakewright::bake
