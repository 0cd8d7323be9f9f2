// SPDX-License-Identifier: Apache-2.0
#include "bakewright/bake/built_network.hpp"

#include <algorithm>

#include "bakewright/bake/cycle.hpp"

namespace bakewright::bake {

thermal::FactorIndex factor_of(BuiltNetwork& built, FactorKind kind, const std::string& subject, const std::string& film_group) {
    const auto found = std::find_if(built.factors.begin(), built.factors.end(), [&](const NetworkFactor& factor) {
        return factor.kind == kind && factor.subject == subject;
    });
    if (found != built.factors.end()) return found->index;
    built.factors.push_back({kind, subject, built.network.add_factor(subject), film_group});
    return built.factors.back().index;
}

std::string film_group_of(const Zone& zone) {
    if (!zone.film_group.empty()) return zone.film_group;
    switch (zone.orientation) {
        case Orientation::vertical:
            return "upright";
        case Orientation::faces_up:
            return "facing up";
        case Orientation::faces_down:
            return "facing down";
    }
    return "upright";
}

std::optional<BoothSurface> booth_surface_of(std::string_view name) noexcept {
    const auto words = words_of(BoothSurface{});
    const auto at = std::find(words.begin(), words.end(), name);
    if (at == words.end()) return std::nullopt;
    return static_cast<BoothSurface>(at - words.begin());
}

SurfaceTraces surface_traces(const TraceSet& log, const Trace& air) {
    // A surface changes slowly: a few minutes before its first sample and after its last it is where that is.
    constexpr double kHeldS = 300.0;
    SurfaceTraces found{};
    if (air.time_s.empty()) return found;
    for (const Trace& trace : log.traces) {
        if (trace.role != TraceRole::booth_wall) continue;
        const Trace usable = trace.usable_samples();
        const std::optional<BoothSurface> surface = booth_surface_of(trace.name);
        if (!surface || usable.size() < 2) continue;
        if (usable.time_s.front() > air.time_s.front() + kHeldS || usable.time_s.back() < air.time_s.back() - kHeldS) continue;
        found[static_cast<std::size_t>(*surface)] = &trace;
    }
    return found;
}

BoothAir booth_air_of(const Booth& booth) noexcept {
    return booth.controller.kind == Controller::Kind::ideal ? BoothAir::given : BoothAir::solved;
}

}  // namespace bakewright::bake
