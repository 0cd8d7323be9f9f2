#pragma once

#include <boost/numeric/odeint/stepper/controlled_step_result.hpp>
#include <boost/numeric/odeint/stepper/generation/make_controlled.hpp>
#include <boost/numeric/odeint/stepper/stepper_categories.hpp>
#include <boost/numeric/odeint/util/unwrap_reference.hpp>
#include <span>
#include <utility>

#include "bakewright/thermal/steppers/chebyshev_stepper.hpp"
#include "bakewright/thermal/steppers/rosenbrock_stepper.hpp"
#include "bakewright/thermal/steppers/step_control.hpp"
#include "bakewright/thermal/steppers/step_failure.hpp"

namespace bakewright::thermal {

/// A stepper that chooses its steps: an Odeint controlled stepper, for integrate_adaptive, integrate_const and integrate_times.
/// For long runs with output between steps take DenseOutputStepper, which evaluates less.
template <class Stepper>
class ControlledStepper {
public:
    using stepper_type = Stepper;
    using real_type = typename Stepper::real_type;
    using state_type = typename Stepper::state_type;
    using deriv_type = state_type;
    using value_type = double;
    using time_type = double;
    using stepper_category = boost::numeric::odeint::controlled_stepper_tag;

    explicit ControlledStepper(const StepOptions& options = {}, Stepper stepper = {})
        : stepper_(std::move(stepper)), options_(options), controller_(Stepper::error_order(), Stepper::safety()) {
        options_.check();
    }
    /// In the order of Odeint's make_controlled.
    ControlledStepper(double absolute_tolerance, double relative_tolerance, const Stepper& stepper = {})
        : ControlledStepper(tolerances(absolute_tolerance, relative_tolerance), stepper) {}

    /// Tries a step. On success y and time_s move on; step_s becomes the length to try next in either case.
    /// @throws SolveError where a rejected step would shrink below the smallest
    template <class System>
    boost::numeric::odeint::controlled_step_result try_step(System system, state_type& y, double& time_s, double& step_s) {
        const typename boost::numeric::odeint::unwrap_reference<System>::type& equations = system;
        stepper_.prepare(equations);
        after_.resize(y.size());
        error_.resize(y.size());
        stepper_.begin_step(equations, time_s, std::span<const real_type>(y), false);
        step_s = std::min({step_s, options_.largest_step_s, stepper_.longest_step_s()});
        stepper_.attempt(equations, time_s, std::span<const real_type>(y), step_s, std::span<real_type>(after_),
                         std::span<real_type>(error_));
        const double norm = error_norm<real_type>(error_, y, after_, options_);
        if (!(norm <= 1.0)) {
            const double shorter_s = step_s * controller_.after_failure(step_s, norm);
            if (shorter_s < options_.smallest_step_s)
                fail_step<real_type>(equations, StepFailure::step_too_small, time_s, options_.smallest_step_s, stepper_.rates());
            step_s = shorter_s;
            return boost::numeric::odeint::fail;
        }
        y.swap(after_);
        time_s += step_s;
        step_s = std::min(step_s * controller_.after_success(step_s, norm), options_.largest_step_s);
        return boost::numeric::odeint::success;
    }
    void adjust_size(const state_type&) {}

    [[nodiscard]] Stepper& stepper() noexcept { return stepper_; }
    [[nodiscard]] const Stepper& stepper() const noexcept { return stepper_; }

private:
    static StepOptions tolerances(double absolute_tolerance, double relative_tolerance) {
        StepOptions options;
        options.absolute_tolerance = absolute_tolerance;
        options.relative_tolerance = relative_tolerance;
        return options;
    }

    Stepper stepper_;
    StepOptions options_;
    StepController<real_type> controller_;
    state_type after_, error_;
};

}  // namespace bakewright::thermal

namespace boost::numeric::odeint {

template <class Real, const bakewright::thermal::RosenbrockCoefficients& Coefficients>
struct get_controller<bakewright::thermal::RosenbrockStepper<Real, Coefficients>> {
    typedef bakewright::thermal::ControlledStepper<bakewright::thermal::RosenbrockStepper<Real, Coefficients>> type;
};
template <class Real>
struct get_controller<bakewright::thermal::ChebyshevStepper<Real>> {
    typedef bakewright::thermal::ControlledStepper<bakewright::thermal::ChebyshevStepper<Real>> type;
};

}  // namespace boost::numeric::odeint
