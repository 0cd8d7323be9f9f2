// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>
#include <span>
#include <string>

#include "steppers/lanes.hpp"
#include "steppers/sparsity_pattern.hpp"

namespace bakewright::thermal {

/// How exactly and how patiently to step.
///
/// A step is accepted when every component's error estimate is at most absolute_tolerance + relative_tolerance |y|; the larger
/// of |y| before and after the step counts. The largest component (and lane) decides, not a mean: one thin zone matters as much
/// as forty heavy ones.
struct StepOptions {
    /// In the unit of y; for temperatures [K]. >= 0, one of the two > 0. The default kept whole bakes within 0.005 K.
    double absolute_tolerance = 1e-2;
    double relative_tolerance = 0.0;                                  ///< >= 0
    double first_step_s = 0.0;                                        ///< 0: worked out from the rates and their change
    double largest_step_s = std::numeric_limits<double>::infinity();  ///< > 0
    double smallest_step_s = 1e-6;        ///< a rejected step that would have to shrink below it ends the run. > 0
    std::size_t step_ceiling = 100000;    ///< accepted and rejected steps of one integration after which the run ends. > 0
    bool ceiling_spans_restarts = false;  ///< counts the steps since the stepper was made, not since its last initialize()

    /// @throws PromiseError where a number is outside its range
    void check() const;
};

/// Work done so far.
struct WorkCounts {
    std::size_t accepted_steps = 0;
    std::size_t rejected_steps = 0;
    std::size_t rate_evaluations = 0;
    std::size_t jacobian_evaluations = 0;
    std::size_t factorisations = 0;
};

/// The largest error, over components and lanes, in units of what is allowed: a step is good where it is at most 1.
/// Not a number where any error or state is not finite, so test with `norm <= 1` and never with `norm > 1`.
template <class Real>
[[nodiscard]] double error_norm(std::span<const Real> error, std::span<const Real> before, std::span<const Real> after,
                                const StepOptions& options) {
    using Scalar = lane_scalar_t<Real>;
    const auto absolute = static_cast<Scalar>(options.absolute_tolerance);
    const auto relative = static_cast<Scalar>(options.relative_tolerance);
    Real largest{};
    Real poison{};  // stays zero, or turns into not-a-number with the first value that is infinite or not a number
    for (std::size_t i = 0; i < error.size(); ++i) {
        const Real allowed = absolute + relative * max(abs(before[i]), abs(after[i]));
        largest = max(largest, abs(error[i]) / allowed);
        poison += (error[i] + after[i]) * Scalar{0};
    }
    return largest_lane(Real(largest + poison));
}

/// Chooses the next step from the errors of the last two: Gustafsson's predictive control (ACM Trans. Math. Softw. 20 (1994) 496;
/// Hairer & Wanner, Solving Ordinary Differential Equations II, 2nd ed., section IV.8, eq. (8.25)). The shorter of two proposals
/// is taken: that of the last error alone, and that which goes on with the trend of the last two.
/// Real only keeps the packs' instruction sets apart.
template <class Real>
class StepController {
public:
    /// @param error_order  order of the estimate's method: its error shrinks with the step to the power error_order + 1
    /// @param safety       share of the step that the estimate would allow
    StepController(unsigned error_order, double safety)
        : exponent_(1.0 / (static_cast<double>(error_order) + 1.0)), safety_(safety) {}

    /// Forgets what was: after a break in the equations.
    void reset() noexcept {
        accepted_step_s_ = 0.0;
        rejections_ = 0;
    }

    /// Factor for the step after an accepted one.
    [[nodiscard]] double after_success(double step_s, double norm) {
        const double now = std::max(norm, kLeastNorm);
        double factor = safety_ * std::pow(now, -exponent_);
        if (accepted_step_s_ > 0.0)
            factor = std::min(factor, factor * step_s / accepted_step_s_ * std::pow(accepted_norm_ / now, exponent_));
        // A step that follows a rejected one does not grow.
        factor = std::clamp(factor, kMostShrinking, rejections_ > 0 ? 1.0 : kMostGrowth);
        accepted_step_s_ = step_s;
        accepted_norm_ = std::max(now, 1e-2);
        rejections_ = 0;
        return factor;
    }

    /// Factor for another attempt at a rejected step; the norm may be not a number. From the second rejection on, the two norms
    /// tell how the error really shrinks: across a kink in the rates with the square of the step, whatever the order.
    [[nodiscard]] double after_failure(double step_s, double norm) {
        double exponent = exponent_;
        if (rejections_ > 0 && rejected_norm_ > norm && step_s < rejected_step_s_)
            exponent = std::clamp(std::log(rejected_step_s_ / step_s) / std::log(rejected_norm_ / norm), exponent_, 1.0);
        ++rejections_;
        rejected_step_s_ = step_s;
        rejected_norm_ = norm;
        if (!(norm < 1e12)) return kMostShrinking;
        return std::clamp(safety_ * std::pow(norm, -exponent), 0.1, 0.9);
    }

private:
    static constexpr double kMostGrowth = 6.0;  // common practice, as are the other bounds
    static constexpr double kMostShrinking = 0.1;
    static constexpr double kLeastNorm = 1e-6;

    double exponent_, safety_;
    double accepted_step_s_ = 0.0, accepted_norm_ = 1.0;
    double rejected_step_s_ = 0.0, rejected_norm_ = 1.0;
    int rejections_ = 0;
};

/// First guess of a step length, from the first three derivatives of the solution; norms are in units of the allowed error. Their
/// ratios tell the time scale, the longer of first over second and second over third: the latter speaks where a solution at rest
/// begins to follow a ramp, and the first is nothing yet. A step h then errs by about second h^2 (h / time scale)^(q-1) / (q+1)!
/// with q the order of the estimate. Where nothing bends: the longest step allowed.
template <class Real>
[[nodiscard]] double first_step_s(std::span<const Real> y, std::span<const Real> first, std::span<const Real> second,
                                  std::span<const Real> third, unsigned error_order, double longest_s,
                                  const StepOptions& options) {
    const double speed = error_norm<Real>(first, y, y, options);
    const double bend = error_norm<Real>(second, y, y, options);
    const double twist = error_norm<Real>(third, y, y, options);
    if (!(speed < 1e300) || !(bend < 1e300) || !(twist < 1e300)) return std::min(longest_s, options.smallest_step_s);
    if (bend <= 0.0) return longest_s;
    double factorial = 1.0;
    for (unsigned k = 2; k <= error_order + 1; ++k) factorial *= k;
    const double time_scale_s = std::max({speed / bend, twist > 0.0 ? bend / twist : 0.0, 1e-9});
    const double step_s = std::pow(factorial * std::pow(time_scale_s, error_order - 1.0) / bend, 1.0 / (error_order + 1.0));
    return std::clamp(step_s, std::min(options.smallest_step_s, longest_s), longest_s);
}

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
