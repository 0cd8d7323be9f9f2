#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "bakewright/bake/built_network.hpp"
#include "bakewright/base/error.hpp"

namespace bakewright::bake {
namespace {

/// A part of a stage that would be shorter than this is left to the rest [s].
constexpr double kShortestPartS = 1e-3;

std::vector<double> infrared_sources_w(const BuiltNetwork& built, const std::optional<Infrared>& infrared) {
    std::vector<double> source_w(built.infrared_zones.size(), 0.0);
    if (!infrared) return source_w;
    for (std::size_t i = 0; i < source_w.size(); ++i) {
        const auto& zones = infrared->zones;
        if (std::find(zones.begin(), zones.end(), built.infrared_zones[i]) != zones.end())
            source_w[i] = infrared->flux_w_per_m2 * built.infrared_area_m2[i];
    }
    return source_w;
}

FanMode mode_at(const std::vector<ResolvedStage>& stages, double time_s) {
    if (stages.empty()) return FanMode::bake;
    const auto ends_after = [&](const ResolvedStage& stage) { return stage.end_s > time_s; };
    const auto at = std::find_if(stages.begin(), stages.end(), ends_after);
    return fan_mode_of(at == stages.end() ? stages.back().kind : at->kind);
}

/// A booth that is solved for has the outside as its second boundary. Air that is where it is set lies off by what was learned.
std::vector<double> boundaries_k(const BuiltNetwork& built, const Booth& booth, double setpoint_k) {
    const double share = booth.learned.value(LearnedKind::air_offset) / booth.rise_of_full_offset_k();
    const bool is_where_set = !built.booth || booth.controller.kind == Controller::Kind::burner_limited;
    const double first_k = setpoint_k + (is_where_set ? share * (setpoint_k - booth.ambient_k) : 0.0);
    return built.booth ? std::vector<double>{first_k, booth.ambient_k} : std::vector<double>{first_k};
}

/// Whether a stage puts heat into the booth's air: given air is heated as soon as it is over the ambient; a burner heats where it
/// may fire and is set to more than the ambient.
bool heats_air(const BuiltNetwork& built, const Booth& booth, const ResolvedStage& stage) {
    if (!built.booth) return true;
    return booth.ventilation[static_cast<std::size_t>(fan_mode_of(stage.kind))].burner_may_fire &&
           std::max(stage.begin_k, stage.end_k) > booth.ambient_k;
}

/// Adds a stage, in two parts where the set point passes the ambient, at which local air begins to differ.
void add_stage(std::vector<thermal::Segment>& segments, const BuiltNetwork& built, const Booth& booth, const ResolvedStage& stage,
               std::vector<double> source_w) {
    const auto add = [&](double begin_s, double end_s, double begin_k, double end_k) {
        segments.push_back({begin_s, end_s, boundaries_k(built, booth, begin_k), boundaries_k(built, booth, end_k), source_w,
                            static_cast<std::size_t>(fan_mode_of(stage.kind)), heats_air(built, booth, stage)});
    };
    const double share = (booth.ambient_k - stage.begin_k) / (stage.end_k - stage.begin_k);
    const double crossing_s = stage.begin_s + share * (stage.end_s - stage.begin_s);
    const bool crosses = crossing_s > stage.begin_s + kShortestPartS && crossing_s < stage.end_s - kShortestPartS;
    if (!crosses) return add(stage.begin_s, stage.end_s, stage.begin_k, stage.end_k);
    add(stage.begin_s, crossing_s, stage.begin_k, booth.ambient_k);
    add(crossing_s, stage.end_s, booth.ambient_k, stage.end_k);
}

}  // namespace

std::vector<thermal::Segment> cycle_segments(const BuiltNetwork& built, const Booth& booth, const Cycle& cycle,
                                             const std::vector<ResolvedStage>& stages, double after_s) {
    std::vector<thermal::Segment> segments;
    for (const ResolvedStage& stage : stages)
        add_stage(segments, built, booth, stage, infrared_sources_w(built, cycle.stages[stage.index].infrared));
    if (after_s > 0.0) {
        const ResolvedStage& last = stages.back();
        add_stage(segments, built, booth, {last.kind, last.end_s, last.end_s + after_s, last.end_k, last.end_k, last.index},
                  infrared_sources_w(built, {}));
    }
    return segments;
}

std::vector<thermal::Segment> replay_segments(const BuiltNetwork& built, const Trace& air, const Trace* wall,
                                              const std::vector<ResolvedStage>& stages) {
    std::vector<thermal::Segment> segments;
    for (std::size_t i = 0; i + 1 < air.size(); ++i) {
        std::vector<double> begin_k{air.temperature_k[i]}, end_k{air.temperature_k[i + 1]};
        if (wall != nullptr) {
            begin_k.push_back(temperature_at_k(*wall, air.time_s[i]));
            end_k.push_back(temperature_at_k(*wall, air.time_s[i + 1]));
            if (!std::isfinite(begin_k.back()) || !std::isfinite(end_k.back()))
                throw InputError(Problem{{},
                                         0,
                                         wall->name,
                                         fmt::format("the wall trace has no sample at {:.0f} s, where the air "
                                                     "trace has one",
                                                     air.time_s[i])});
        }
        segments.push_back({air.time_s[i], air.time_s[i + 1], std::move(begin_k), std::move(end_k), infrared_sources_w(built, {}),
                            static_cast<std::size_t>(mode_at(stages, (air.time_s[i] + air.time_s[i + 1]) / 2.0))});
    }
    return segments;
}

}  // namespace bakewright::bake
