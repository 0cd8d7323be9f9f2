#include "bakewright/bake/predict.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>

#include "bakewright/bake/built_network.hpp"
#include "bakewright/base/error.hpp"
#include "bakewright/base/fields.hpp"
#include "bakewright/thermal/solve.hpp"
#include "recorder.hpp"

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
    const BuiltNetwork built = build_network(shell, booth, options, booth_air_of(booth), stages.front().begin_k);
    Prediction prediction = run(built, booth, cycle_segments(built, booth, cycle, stages, options.after_s), options);
    prediction.stages = stages;
    return prediction;
}

Prediction predict_from_air(const Shell& shell, const Booth& booth, const Trace& air, const PredictOptions& options,
                            const Trace* wall) {
    refuse_problems(shell, booth, options);
    const Trace usable = air.usable_samples();
    if (usable.size() < 2)
        throw InputError(Problem{{}, 0, air.name, "has fewer than two usable samples: a replay needs an air trace"});
    const BuiltNetwork built = build_network(shell, booth, options, wall == nullptr ? BoothAir::given : BoothAir::given_with_wall,
                                             usable.temperature_k.front());
    return run(built, booth, replay_segments(built, usable, wall), options);
}

}  // namespace bakewright::bake
