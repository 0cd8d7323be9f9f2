#pragma once

#include <algorithm>
#include <boost/numeric/odeint/stepper/stepper_categories.hpp>
#include <boost/numeric/odeint/util/unwrap_reference.hpp>
#include <cstddef>
#include <span>
#include <vector>

#include "bakewright/thermal/steppers/chebyshev_coefficients.hpp"
#include "bakewright/thermal/steppers/lanes.hpp"
#include "bakewright/thermal/steppers/spectral_radius.hpp"
#include "bakewright/thermal/steppers/step_options.hpp"
#include "bakewright/thermal/steppers/system.hpp"

namespace bakewright::thermal {

/// Stabilised explicit Runge-Kutta-Chebyshev stepper of order 2: no linear systems; with s stages stable for steps up to about
/// 0.65 s^2 over the spectral radius of the Jacobian. Every step takes as many stages as it needs (over packs: as the worst lane
/// needs). For networks with eigenvalues near the negative real axis, as heat conduction and films give; a fast controller in
/// the loop can bring others, which then show as rejected steps.
///
/// An Odeint error stepper, and a method for ControlledStepper and DenseOutputStepper.
/// Source: Sommeijer, Shampine & Verwer, RKC: an explicit solver for parabolic PDEs, J. Comput. Appl. Math. 88 (1998) 315.
/// Differs in finding the radius from the analytic Jacobian (SpectralRadius), where the paper differences the rates.
template <class Real>
class ChebyshevStepper {
public:
    using real_type = Real;
    using scalar_type = lane_scalar_t<Real>;
    using state_type = std::vector<Real>;
    using deriv_type = state_type;
    using value_type = double;
    using time_type = double;
    using order_type = unsigned short;
    using stepper_category = boost::numeric::odeint::error_stepper_tag;

    [[nodiscard]] static constexpr order_type order() noexcept { return 2; }
    [[nodiscard]] static constexpr order_type stepper_order() noexcept { return 2; }
    /// The estimate shrinks with the third power of the step.
    [[nodiscard]] static constexpr order_type error_order() noexcept { return 2; }
    /// Share of the step that the error estimate would allow: the paper's.
    [[nodiscard]] static constexpr double safety() noexcept { return 0.8; }

    /// Odeint: one step of given length, in place.
    template <class System>
    void do_step(System system, state_type& y, double time_s, double step_s) {
        do_step(system, y, time_s, y, step_s, odeint_error_);
    }
    /// Odeint: one step of given length, in place, with the error estimate.
    template <class System>
    void do_step(System system, state_type& y, double time_s, double step_s, state_type& error) {
        do_step(system, y, time_s, y, step_s, error);
    }
    /// Odeint: one step of given length; out may be y itself.
    template <class System>
    void do_step(System system, const state_type& y, double time_s, state_type& out, double step_s, state_type& error) {
        const typename boost::numeric::odeint::unwrap_reference<System>::type& equations = system;
        prepare(equations);
        out.resize(equations.size());
        error.resize(equations.size());
        begin_step(equations, time_s, y, false);
        attempt(equations, time_s, y, step_s, out, error);
    }
    void adjust_size(const state_type&) {}

    // What ControlledStepper and DenseOutputStepper ask for.

    template <DifferentiableSystem<Real> System>
    void prepare(const System& system) {
        jacobian_.resize(system.pattern().entry_count());
        for (state_type* vector : {&rate_, &end_rate_, &stage_rate_, &point_, &distance_, &last_distance_, &time_derivative_})
            vector->resize(system.size());
    }

    /// @param follows  whether the last attempt was accepted and this step begins where it ended: its last rates then serve again
    template <DifferentiableSystem<Real> System>
    void begin_step(const System& system, double time_s, std::span<const Real> y, bool follows) {
        if (follows) {
            rate_.swap(end_rate_);
        } else {
            system.rates(time_s, y, rate_);
            ++work_.rate_evaluations;
        }
        attempts_here_ = 0;
        if (!follows || ++steps_since_radius_ >= kStepsARadius) find_radius(system, time_s, y);
    }

    /// No step longer than this can be made stable with a sensible number of stages.
    [[nodiscard]] double longest_step_s() const noexcept {
        constexpr double most = kMostStages;
        return radius_per_s_ > 0.0 ? (most - 1.0) * (most - 1.0) / (1.54 * radius_per_s_) : 1e300;
    }

    /// A step from where begin_step() stood. Shapes: all spans hold size() values; out may be y.
    template <DifferentiableSystem<Real> System>
    void attempt(const System& system, double time_s, std::span<const Real> y, double step_s, std::span<Real> out,
                 std::span<Real> error) {
        // A rejected attempt may be a radius that has grown since it was found.
        if (attempts_here_++ > 0 && steps_since_radius_ > 0) find_radius(system, time_s, y);
        step_s_ = step_s;
        take_stages(system, time_s, y, stages_for(step_s));
        finish(system, time_s, y, out, error);
    }

    /// State at a share theta (0 to 1) of the last attempt, which went from before to after: the cubic that meets both states
    /// and their rates.
    void interpolate(double theta, std::span<const Real> before, std::span<const Real> after, std::span<Real> out) const {
        const double rest = 1.0 - theta;
        const auto weight_after = static_cast<scalar_type>(theta * theta * (3.0 - 2.0 * theta));
        const auto weight_rate = static_cast<scalar_type>(step_s_ * theta * rest * rest);
        const auto weight_end_rate = static_cast<scalar_type>(-step_s_ * theta * theta * rest);
        for (std::size_t i = 0; i < out.size(); ++i)
            out[i] = before[i] + weight_after * (after[i] - before[i]) + weight_rate * rate_[i] + weight_end_rate * end_rate_[i];
    }

    /// Second derivative y'' = J f + df/dt where begin_step() stood first; for the first guess of a step.
    [[nodiscard]] std::span<const Real> second_derivative(const SparsityPattern& pattern) {
        add_product<Real>(pattern, jacobian_, rate_, time_derivative_, stage_rate_);
        return stage_rate_;
    }
    /// The part of the third derivative that the Jacobian makes of the second; after second_derivative().
    [[nodiscard]] std::span<const Real> third_derivative(const SparsityPattern& pattern) {
        std::fill(point_.begin(), point_.end(), Real{});
        add_product<Real>(pattern, jacobian_, stage_rate_, point_, point_);
        return point_;
    }
    /// Rates where begin_step() stood.
    [[nodiscard]] std::span<const Real> rates() const noexcept { return rate_; }
    [[nodiscard]] const WorkCounts& work() const noexcept { return work_; }
    /// As found last.
    [[nodiscard]] double spectral_radius_per_s() const noexcept { return radius_per_s_; }

private:
    static constexpr int kStepsARadius = 25;  // the paper's choice
    static constexpr int kMostStages = 200;

    template <class System>
    void find_radius(const System& system, double time_s, std::span<const Real> y) {
        system.jacobian(time_s, y, jacobian_);
        system.time_derivative(time_s, y, time_derivative_);
        ++work_.jacobian_evaluations;
        radius_per_s_ = radius_.estimate_per_s(system.pattern(), jacobian_);
        steps_since_radius_ = 0;
    }

    const std::vector<ChebyshevStage>& stages_for(double step_s) {
        const std::size_t count = chebyshev_stage_count(step_s * radius_per_s_);
        if (stages_.size() <= count) stages_.resize(count + 1);
        if (stages_[count].empty()) stages_[count] = chebyshev_stages(count);
        return stages_[count];
    }

    /// Leaves the distance from y in distance_.
    template <class System>
    void take_stages(const System& system, double time_s, std::span<const Real> y, const std::vector<ChebyshevStage>& stages) {
        const std::size_t n = y.size();
        const auto first = static_cast<scalar_type>(stages[0].mu_rate * step_s_);
        for (std::size_t i = 0; i < n; ++i) {
            last_distance_[i] = Real{};
            distance_[i] = first * rate_[i];
            point_[i] = y[i] + distance_[i];
        }
        for (std::size_t j = 1; j < stages.size(); ++j) {
            system.rates(time_s + stages[j - 1].c * step_s_, std::span<const Real>(point_), std::span<Real>(stage_rate_));
            take_stage(stages[j], y);
        }
        work_.rate_evaluations += stages.size() - 1;
    }
    void take_stage(const ChebyshevStage& stage, std::span<const Real> y) {
        const auto mu = static_cast<scalar_type>(stage.mu);
        const auto nu = static_cast<scalar_type>(stage.nu);
        const auto mu_rate = static_cast<scalar_type>(stage.mu_rate * step_s_);
        const auto gamma_rate = static_cast<scalar_type>(stage.gamma_rate * step_s_);
        for (std::size_t i = 0, n = y.size(); i < n; ++i) {
            const Real next = mu * distance_[i] + nu * last_distance_[i] + mu_rate * stage_rate_[i] + gamma_rate * rate_[i];
            last_distance_[i] = next;
            point_[i] = y[i] + next;
        }
        distance_.swap(last_distance_);
    }

    /// The rates at the end give the error estimate, the dense output and the next step's beginning.
    template <class System>
    void finish(const System& system, double time_s, std::span<const Real> y, std::span<Real> out, std::span<Real> error) {
        system.rates(time_s + step_s_, std::span<const Real>(point_), std::span<Real>(end_rate_));
        ++work_.rate_evaluations;
        const auto of_rates = static_cast<scalar_type>(0.4 * step_s_);
        const auto of_distance = static_cast<scalar_type>(-0.8);
        for (std::size_t i = 0, n = y.size(); i < n; ++i) {
            error[i] = of_distance * distance_[i] + of_rates * (rate_[i] + end_rate_[i]);
            out[i] = point_[i];
        }
    }

    SpectralRadius<Real> radius_;
    std::vector<std::vector<ChebyshevStage>> stages_;  // by their number, as they come to be needed
    state_type jacobian_, rate_, end_rate_, stage_rate_, point_, distance_, last_distance_, time_derivative_, odeint_error_;
    double radius_per_s_ = 0.0, step_s_ = 0.0;
    int steps_since_radius_ = 0, attempts_here_ = 0;
    WorkCounts work_;
};

}  // namespace bakewright::thermal
