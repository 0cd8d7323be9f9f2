#pragma once

#include <algorithm>
#include <cstddef>
#include <span>
#include <vector>

#include "bakewright/base/error.hpp"
#include "bakewright/thermal/steppers/dense_output_stepper.hpp"

namespace bakewright::thermal {

/// How one segment is stepped.
struct SegmentOptions {
    /// Begin with the step the stepper would have taken next, in place of a guess from the rates. Only where the rates go on
    /// smoothly from the segment before: across a break the first step is then far too long, costs several rejections, and may
    /// pass with an error estimate that is too small.
    bool carries_step = false;
    /// Where to note the end of every accepted step; nullptr: nowhere. Ends are added behind what it holds.
    std::vector<double>* record_s = nullptr;
    /// Ends of the steps to take, the last at the segment's end; empty: the stepper chooses. With a plan (recorded from the
    /// unperturbed member of an ensemble) the numbers of a member do not depend on which others share its pack, and no step is
    /// rejected; see SegmentReport::largest_error_norm for whether the plan was fine enough.
    std::span<const double> plan_s{};
};

/// What integrating one segment took.
struct SegmentReport {
    WorkCounts work;
    double largest_error_norm = 0.0;  ///< of the accepted steps, in units of the allowed error
    double next_step_s = 0.0;         ///< what the stepper would try next
};

namespace detail {

template <class Stepper, class System>
void take_segment_step(DenseOutputStepper<Stepper>& stepper, const System& system, const SegmentOptions& options,
                       std::size_t planned) {
    if (options.plan_s.empty())
        stepper.do_step(std::cref(system));
    else
        stepper.do_planned_step(std::cref(system), options.plan_s[planned]);
    if (options.record_s) options.record_s->push_back(stepper.current_time());
}

[[nodiscard]] WorkCounts difference(const WorkCounts& after, const WorkCounts& before);

}  // namespace detail

/// Integrates from begin_s to exactly end_s, between which the system has no break: no step passes end_s.
/// @param y             the state at begin_s; then that at end_s. Shape: system.size() values
/// @param output_times  rising, all after begin_s, none after end_s; may be empty
/// @param observer      called as observer(time_s, std::span<const Real> y) at every output time, in order; the span is good
///                      until it returns
/// @throws SolveError   where the steps give out (see DenseOutputStepper); y then stands as it was
/// @throws PromiseError where times are not as said
template <class Stepper, class System, class Observer>
SegmentReport integrate_segment(DenseOutputStepper<Stepper>& stepper, const System& system,
                                std::span<typename Stepper::real_type> y, double begin_s, double end_s,
                                const SegmentOptions& options, std::span<const double> output_times, Observer&& observer) {
    using Real = typename Stepper::real_type;
    ensure(begin_s < end_s, "a segment ends after it begins");
    ensure(output_times.empty() || (output_times.front() > begin_s && output_times.back() <= end_s),
           "output times lie inside the segment");
    ensure(options.plan_s.empty() || options.plan_s.back() == end_s, "planned steps end with the segment");
    const WorkCounts before = stepper.work();
    stepper.initialize(std::span<const Real>(y), begin_s, options.carries_step ? stepper.current_time_step() : 0.0);
    stepper.stop_at(end_s);
    stepper.clear_largest_error_norm();

    std::vector<Real> between(output_times.empty() ? 0 : y.size());
    auto output = output_times.begin();
    for (std::size_t step = 0; stepper.current_time() < end_s; ++step) {
        detail::take_segment_step(stepper, system, options, step);
        for (; output != output_times.end() && *output <= stepper.current_time(); ++output) {
            stepper.calc_state(*output, std::span<Real>(between));
            observer(*output, std::span<const Real>(between));
        }
    }
    std::copy(stepper.current_state().begin(), stepper.current_state().end(), y.begin());
    return {detail::difference(stepper.work(), before), stepper.largest_error_norm(), stepper.current_time_step()};
}

/// Without output.
template <class Stepper, class System>
SegmentReport integrate_segment(DenseOutputStepper<Stepper>& stepper, const System& system,
                                std::span<typename Stepper::real_type> y, double begin_s, double end_s,
                                const SegmentOptions& options = {}) {
    return integrate_segment(stepper, system, y, begin_s, end_s, options, {},
                             [](double, std::span<const typename Stepper::real_type>) {});
}

}  // namespace bakewright::thermal
