#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>
#include <span>
#include <string>

#include "bakewright/thermal/steppers/lanes.hpp"
#include "bakewright/thermal/steppers/system.hpp"

namespace bakewright::thermal {

/// Why a run stopped.
enum class StepFailure {
    step_too_small,  ///< every step down to the smallest was rejected, or gave numbers that are not finite
    too_many_steps,  ///< the ceiling on steps was reached
    not_finite       ///< a planned step gave numbers that are not finite
};

/// A component and how fast it moves: |dy/dt| in its fastest lane; infinite where it is not finite.
struct FastComponent {
    std::size_t index = 0;
    double rate_per_s = -1.0;
};

/// The three fastest components, fastest first; fewer where there are fewer.
template <class Real>
[[nodiscard]] std::array<FastComponent, 3> fastest_components(std::span<const Real> rates) {
    std::array<FastComponent, 3> fastest{};
    for (std::size_t i = 0; i < rates.size(); ++i) {
        const double speed = largest_lane(Real(abs(rates[i])));
        FastComponent candidate{i, speed <= std::numeric_limits<double>::max() ? speed : std::numeric_limits<double>::infinity()};
        for (FastComponent& place : fastest)
            if (candidate.rate_per_s > place.rate_per_s) std::swap(candidate, place);
    }
    return fastest;
}

/// "run stopped at 812.4 s: no step down to 1e-06 s was accepted; fastest: roof 14.2 K/s, sill 3.1 K/s, hood 0.4 K/s".
/// @param limit    smallest step [s], or the ceiling on steps
/// @param name_of  name of a component of the system; nullptr: they are called "component 7"
/// @throws SolveError always
[[noreturn]] void throw_step_failure(StepFailure failure, double time_s, double limit, std::span<const FastComponent> fastest,
                                     const void* system, std::string (*name_of)(const void* system, std::size_t index));

/// The same, with names asked of the system where it has them. Of a system that has nodes and other states behind them (heat
/// accounts), only the nodes are named.
template <class Real, class System>
[[noreturn]] void fail_step(const System& system, StepFailure failure, double time_s, double limit, std::span<const Real> rates) {
    if constexpr (requires { system.node_count(); }) rates = rates.first(system.node_count());
    const auto fastest = fastest_components<Real>(rates);
    std::string (*name_of)(const void*, std::size_t) = nullptr;
    if constexpr (NamedSystem<System>)
        name_of = [](const void* named, std::size_t index) -> std::string {
            return static_cast<const System*>(named)->name(index);
        };
    throw_step_failure(failure, time_s, limit, std::span(fastest).first(std::min(fastest.size(), rates.size())), &system,
                       name_of);
}

}  // namespace bakewright::thermal
