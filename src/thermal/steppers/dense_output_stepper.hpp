// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <algorithm>
#include <boost/numeric/odeint/stepper/stepper_categories.hpp>
#include <boost/numeric/odeint/util/unwrap_reference.hpp>
#include <cstddef>
#include <limits>
#include <span>
#include <utility>
#include <vector>

#include "bakewright/base/error.hpp"
#include "steppers/rosenbrock_stepper.hpp"
#include "steppers/step_control.hpp"

namespace bakewright::thermal {

/// A stepper that chooses its steps and tells the state anywhere inside the last one: an Odeint dense-output stepper, for
/// integrate_adaptive, integrate_const and integrate_times, and what integrate_segment() drives.
template <class Stepper>
class DenseOutputStepper {
public:
    using stepper_type = Stepper;
    using real_type = typename Stepper::real_type;
    using state_type = typename Stepper::state_type;
    using deriv_type = state_type;
    using value_type = double;
    using time_type = double;
    using stepper_category = boost::numeric::odeint::dense_output_stepper_tag;

    explicit DenseOutputStepper(const StepOptions& options = {}, Stepper stepper = {})
        : stepper_(std::move(stepper)), options_(options), controller_(Stepper::error_order(), Stepper::safety()) {
        options_.check();
    }
    /// In the order of Odeint's make_dense_output.
    DenseOutputStepper(double absolute_tolerance, double relative_tolerance, const Stepper& stepper = {})
        : DenseOutputStepper(tolerances(absolute_tolerance, relative_tolerance), stepper) {}

    /// Stands at a state and time. @param step_s  first step to try; 0: the options' first step, or a guess from the rates
    void initialize(std::span<const real_type> y, double time_s, double step_s) {
        current_.assign(y.begin(), y.end());
        previous_.assign(y.begin(), y.end());
        error_.resize(y.size());
        current_time_s_ = previous_time_s_ = time_s;
        step_s_ = step_s > 0.0 ? step_s : options_.first_step_s;
        controller_.reset();
        follows_ = is_prepared_ = false;
        stop_s_ = std::numeric_limits<double>::infinity();
        if (!options_.ceiling_spans_restarts) steps_since_start_ = 0;
    }
    void initialize(const state_type& y, double time_s, double step_s) {
        initialize(std::span<const real_type>(y), time_s, step_s);
    }

    /// No step passes this time; one ends exactly on it. Until the next initialize().
    void stop_at(double time_s) { stop_s_ = time_s; }

    /// Steps until one is accepted. Returns where it began and ended.
    /// @throws SolveError where no step down to the smallest is accepted, or the ceiling on steps is reached
    template <class System>
    std::pair<double, double> do_step(System system) {
        const typename boost::numeric::odeint::unwrap_reference<System>::type& equations = system;
        begin_step(equations);
        for (;;) {
            const double wish_s = std::min({step_s_, options_.largest_step_s, stepper_.longest_step_s()});
            const double step_s = fitted_step_s(wish_s);
            const double norm = attempt(equations, step_s);
            if (norm <= 1.0) {
                accept(step_s, norm);
                const double next_s = step_s * controller_.after_success(step_s, norm);
                step_s_ = step_s < wish_s ? std::max(next_s, wish_s) : next_s;
                return {previous_time_s_, current_time_s_};
            }
            reject(equations, step_s, norm);
        }
    }

    /// One step to a given time, accepted whatever its error (see largest_error_norm()).
    /// @throws SolveError where the state is then not finite
    template <class System>
    void do_planned_step(System system, double end_s) {
        const typename boost::numeric::odeint::unwrap_reference<System>::type& equations = system;
        begin_step(equations);
        ensure(end_s > current_time_s_, "a planned step goes forward");
        step_s_ = end_s - current_time_s_;
        stop_s_ = end_s;
        const double norm = attempt(equations, step_s_);
        if (!(norm <= std::numeric_limits<double>::max()))
            fail_step<real_type>(equations, StepFailure::not_finite, current_time_s_, 0.0, stepper_.rates());
        accept(step_s_, norm);
    }

    /// State at a time inside the last step.
    void calc_state(double time_s, std::span<real_type> y) const {
        if (time_s == current_time_s_) {
            std::copy(current_.begin(), current_.end(), y.begin());
            return;
        }
        const double theta = (time_s - previous_time_s_) / (current_time_s_ - previous_time_s_);
        stepper_.interpolate(theta, previous_, current_, y);
    }
    void calc_state(double time_s, state_type& y) const {
        y.resize(current_.size());
        calc_state(time_s, std::span<real_type>(y));
    }

    [[nodiscard]] const state_type& current_state() const noexcept { return current_; }
    [[nodiscard]] const state_type& previous_state() const noexcept { return previous_; }
    [[nodiscard]] double current_time() const noexcept { return current_time_s_; }
    [[nodiscard]] double previous_time() const noexcept { return previous_time_s_; }
    /// The step to try next.
    [[nodiscard]] double current_time_step() const noexcept { return step_s_; }
    void adjust_size(const state_type&) {}

    [[nodiscard]] const StepOptions& options() const noexcept { return options_; }
    [[nodiscard]] WorkCounts work() const noexcept {
        WorkCounts work = stepper_.work();
        work.accepted_steps = accepted_;
        work.rejected_steps = rejected_;
        return work;
    }
    /// The largest error norm of an accepted step since clear_largest_error_norm(): at most 1, but for planned steps.
    [[nodiscard]] double largest_error_norm() const noexcept { return largest_norm_; }
    void clear_largest_error_norm() noexcept { largest_norm_ = 0.0; }

private:
    static StepOptions tolerances(double absolute_tolerance, double relative_tolerance) {
        StepOptions options;
        options.absolute_tolerance = absolute_tolerance;
        options.relative_tolerance = relative_tolerance;
        return options;
    }

    template <class System>
    void begin_step(const System& system) {
        if (!is_prepared_) stepper_.prepare(system);
        is_prepared_ = true;
        stepper_.begin_step(system, current_time_s_, std::span<const real_type>(current_), follows_);
        follows_ = false;
        ensure_below_ceiling(system);
        if (step_s_ > 0.0) return;
        const double longest_s = std::min(options_.largest_step_s, stop_s_ - current_time_s_);
        const std::span<const real_type> second = stepper_.second_derivative(system.pattern());
        step_s_ = first_step_s<real_type>(current_, stepper_.rates(), second, stepper_.third_derivative(system.pattern()),
                                          Stepper::error_order(), std::min(longest_s, 1e9), options_);
    }

    /// The wish cut to the stop; the last two steps before it are of like length, so that none is a sliver.
    [[nodiscard]] double fitted_step_s(double wish_s) const {
        const double rest_s = stop_s_ - current_time_s_;
        if (wish_s * 1.01 >= rest_s) return rest_s;
        return wish_s * 2.0 > rest_s ? 0.5 * rest_s : wish_s;
    }

    template <class System>
    double attempt(const System& system, double step_s) {
        // The step is computed into previous_, which becomes current_ when it is accepted.
        stepper_.attempt(system, current_time_s_, std::span<const real_type>(current_), step_s, std::span<real_type>(previous_),
                         std::span<real_type>(error_));
        return error_norm<real_type>(error_, current_, previous_, options_);
    }

    void accept(double step_s, double norm) {
        current_.swap(previous_);
        previous_time_s_ = current_time_s_;
        const bool is_last = step_s >= stop_s_ - current_time_s_;
        current_time_s_ = is_last ? stop_s_ : current_time_s_ + step_s;
        largest_norm_ = std::max(largest_norm_, norm);
        follows_ = true;
        ++accepted_;
    }

    template <class System>
    void reject(const System& system, double step_s, double norm) {
        ++rejected_;
        step_s_ = step_s * controller_.after_failure(step_s, norm);
        const double floor_s =
            std::max(options_.smallest_step_s, 16.0 * std::numeric_limits<double>::epsilon() * std::abs(current_time_s_));
        if (!(step_s_ >= floor_s))
            fail_step<real_type>(system, StepFailure::step_too_small, current_time_s_, floor_s, stepper_.rates());
        ensure_below_ceiling(system);
    }
    template <class System>
    void ensure_below_ceiling(const System& system) {
        if (++steps_since_start_ <= options_.step_ceiling) return;
        fail_step<real_type>(system, StepFailure::too_many_steps, current_time_s_, static_cast<double>(options_.step_ceiling),
                             stepper_.rates());
    }

    mutable Stepper stepper_;  // calc_state() works out the polynomial of a step when it is first asked for
    StepOptions options_;
    StepController<real_type> controller_;
    state_type current_, previous_, error_;
    double current_time_s_ = 0.0, previous_time_s_ = 0.0, step_s_ = 0.0;
    double stop_s_ = std::numeric_limits<double>::infinity();
    double largest_norm_ = 0.0;
    std::size_t accepted_ = 0, rejected_ = 0, steps_since_start_ = 0;
    bool follows_ = false, is_prepared_ = false;
};

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

[[nodiscard]] inline WorkCounts difference(const WorkCounts& after, const WorkCounts& before) {
    return {after.accepted_steps - before.accepted_steps, after.rejected_steps - before.rejected_steps,
            after.rate_evaluations - before.rate_evaluations, after.jacobian_evaluations - before.jacobian_evaluations,
            after.factorisations - before.factorisations};
}

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
