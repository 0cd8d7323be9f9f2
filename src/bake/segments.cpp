#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "bakewright/bake/built_network.hpp"
#include "bakewright/base/error.hpp"

namespace bakewright::bake {
namespace {

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

}  // namespace

std::vector<thermal::Segment> cycle_segments(const BuiltNetwork& built, const Booth& booth, const Cycle& cycle,
                                             const std::vector<ResolvedStage>& stages, double after_s) {
    // A booth that is solved for has the outside as its second boundary. Air that is where it is set lies off by what was
    // learned.
    const double off_share = booth.learned.value(LearnedKind::air_offset) / booth.reference_rise_k;
    const auto boundaries = [&](double first_k) {
        return built.booth ? std::vector<double>{first_k, booth.ambient_k}
                           : std::vector<double>{first_k + off_share * (first_k - booth.reference_temperature_k)};
    };
    std::vector<thermal::Segment> segments;
    for (const ResolvedStage& stage : stages)
        segments.push_back({stage.begin_s, stage.end_s, boundaries(stage.begin_k), boundaries(stage.end_k),
                            infrared_sources_w(built, cycle.stages[stage.index].infrared),
                            static_cast<std::size_t>(fan_mode_of(stage.kind))});
    if (after_s > 0.0) {
        const ResolvedStage& last = stages.back();
        segments.push_back({last.end_s, last.end_s + after_s, boundaries(last.end_k), boundaries(last.end_k),
                            infrared_sources_w(built, {}), static_cast<std::size_t>(fan_mode_of(last.kind))});
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
