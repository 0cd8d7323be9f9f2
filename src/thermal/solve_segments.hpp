// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cmath>
#include <vector>

#include "bakewright/thermal/solve_options.hpp"
#include "rate_system.hpp"
#include "steppers/step_control.hpp"

namespace bakewright::thermal {

/// Tells a solve's observer each moment once, in order.
class SolveReporter {
public:
    /// Two moments closer than this are one.
    static constexpr double kSameMomentS = 1e-9;

    SolveReporter(const RateSystem<double>& system, const StateObserver& observer, double start_s, double interval_s);

    /// The next multiple of the output interval.
    [[nodiscard]] double next_s() const noexcept { return start_s_ + static_cast<double>(next_index_) * interval_s_; }
    /// Multiples of the output interval from the next one on that lie before end_s. Good until the next call.
    [[nodiscard]] std::span<const double> times_before(double end_s);
    void report(double time_s, std::span<const double> y);

private:
    const RateSystem<double>& system_;
    const StateObserver& observer_;
    double start_s_, interval_s_;
    double last_s_ = -HUGE_VAL;
    std::size_t next_index_ = 0;
    std::vector<double> account_j_, times_s_;
};

/// The fastest body that is accepted follows its surroundings within nanoseconds; where a bake begins it may stand many kelvins
/// off them, and steps grow from there by sixes.
inline constexpr double kShortestImplicitStepS = 1e-12;
inline constexpr const char* kRosenbrockTitle = "Rosenbrock 4(3), RODASP2, sparse, dense output";
[[nodiscard]] StepOptions rosenbrock_options(const SolveOptions& options);

/// Whether a segment may begin with the step the one before would have taken next. Only between two samples of a log (a minute at
/// most), where just the slope of what is given changes: a fresh guess there would cut every sample into several steps. A long
/// segment begins with a fresh guess always (see SegmentOptions::carries_step).
[[nodiscard]] bool goes_on(const Segment& before, const Segment& now);

/// The methods, on checked options. They begin from the system's start, its heaters neither lit nor tripped, and set the first
/// segment before they report it. @throws SolveError
[[nodiscard]] SolveStatistics solve_rosenbrock(RateSystem<double>& system, std::span<const Segment> segments,
                                               const SolveOptions& options, SolveReporter& reporter);
/// For networks whose heaters switch: steps end where they do.
[[nodiscard]] SolveStatistics solve_switching(const Network& network, RateSystem<double>& system,
                                              std::span<const Segment> segments, const SolveOptions& options,
                                              SolveReporter& reporter);

}  // namespace bakewright::thermal
