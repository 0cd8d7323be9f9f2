#include "bakewright/bake/predict.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>

#include "bakewright/bake/built_network.hpp"
#include "bakewright/base/error.hpp"
#include "bakewright/thermal/solve.hpp"
#include "range_check.hpp"

namespace bakewright::bake {
namespace {

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
                                 fmt::format("'{}' is no zone of shell '{}'", zone, shell.id)});
    }
    if (!found.empty()) throw InputError(std::move(found));
}

/// Collects traces while the solver reports.
class Recorder {
public:
    Recorder(const BuiltNetwork& built, std::span<const thermal::Segment> segments) : built_(built), segments_(segments) {
        for (const TraceOrigin& origin : built.origins) traces_.traces.push_back({origin.name, origin.role, {}, {}, {}});
    }
    void operator()(double time_s, std::span<const double> node_k, std::span<const double> account_j) {
        while (segment_ + 1 < segments_.size() && time_s > segments_[segment_].end_s) ++segment_;
        for (std::size_t i = 0; i < built_.origins.size(); ++i) {
            const thermal::Following& at = built_.origins[i].at;
            const double place_k =
                at.place.kind == thermal::Place::Kind::node ? node_k[at.place.index] : boundary_k(at.place.index, time_s);
            traces_.traces[i].time_s.push_back(time_s);
            traces_.traces[i].temperature_k.push_back(at.gain * place_k + at.offset_k);
        }
        last_node_k_.assign(node_k.begin(), node_k.end());
        last_account_j_.assign(account_j.begin(), account_j.end());
    }
    [[nodiscard]] HeatAccount heat() const {
        HeatAccount heat{last_account_j_[built_.convection], last_account_j_[built_.radiation], last_account_j_[built_.infrared],
                         0, 0};
        for (std::size_t i = 0; i < last_node_k_.size(); ++i) {
            const auto& node = built_.network.nodes()[i];
            heat.stored_j += node.heat_capacity_j_per_k * (last_node_k_[i] - node.start_k);
        }
        heat.closure_j = heat.convection_j + heat.radiation_j + heat.infrared_j - heat.stored_j;
        return heat;
    }
    [[nodiscard]] TraceSet take() { return std::move(traces_); }

private:
    [[nodiscard]] double boundary_k(std::size_t index, double time_s) const {
        const thermal::Segment& segment = segments_[segment_];
        const double share = (time_s - segment.begin_s) / (segment.end_s - segment.begin_s);
        return segment.boundary_begin_k[index] + share * (segment.boundary_end_k[index] - segment.boundary_begin_k[index]);
    }

    const BuiltNetwork& built_;
    std::span<const thermal::Segment> segments_;
    std::size_t segment_ = 0;
    TraceSet traces_;
    std::vector<double> last_node_k_, last_account_j_;
};

Prediction run(const BuiltNetwork& built, const std::vector<thermal::Segment>& segments, const PredictOptions& options) {
    Recorder recorder(built, segments);
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
    prediction.traces = recorder.take();
    return prediction;
}

}  // namespace

void PredictOptions::check() const {
    RangeCheck found;
    found.within("start-temperature", start_temperature_k, celsius_to_kelvin(-40.0), celsius_to_kelvin(250.0), "-40 to 250 degC");
    found.within("output-interval", output_interval_s, 0.1, 3600.0, "0.1 s to 1 h");
    found.within("after", after_s, 0.0, 7.0 * 24.0 * kSecondPerHour, "0 s to 7 days");
    found.within("relative tolerance", relative_tolerance, 1e-12, 1e-2, "1e-12 to 1e-2");
    found.within("absolute tolerance", absolute_tolerance_k, 1e-9, 1.0, "1e-9 to 1 K");
    found.within("film-factor", film_factor, 0.01, 100.0, "0.01 to 100");
    if (std::vector<Problem> problems = found.take(); !problems.empty()) throw InputError(std::move(problems));
}

Prediction predict(const Shell& shell, const Booth& booth, const Cycle& cycle, const PredictOptions& options) {
    refuse_problems(shell, booth, options);
    const std::vector<ResolvedStage> stages = resolve(cycle, booth);
    refuse_unknown_infrared_zones(shell, cycle);
    const BuiltNetwork built = build_network(shell, booth, options, WallSource::follows_air);
    Prediction prediction = run(built, cycle_segments(built, cycle, stages, options.after_s), options);
    prediction.stages = stages;
    return prediction;
}

Prediction predict_from_air(const Shell& shell, const Booth& booth, const Trace& air, const PredictOptions& options,
                            const Trace* wall) {
    refuse_problems(shell, booth, options);
    const Trace usable = air.usable_samples();
    if (usable.size() < 2)
        throw InputError(Problem{{}, 0, air.name, "has fewer than two usable samples: a replay needs an air trace"});
    const BuiltNetwork built =
        build_network(shell, booth, options, wall == nullptr ? WallSource::follows_air : WallSource::given);
    return run(built, replay_segments(built, usable, wall), options);
}

}  // namespace bakewright::bake
