// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <algorithm>
#include <array>
#include <boost/numeric/odeint/stepper/stepper_categories.hpp>
#include <boost/numeric/odeint/util/unwrap_reference.hpp>
#include <cmath>
#include <cstddef>
#include <span>
#include <utility>
#include <vector>

#include "steppers/lanes.hpp"
#include "steppers/sparse_lu.hpp"
#include "steppers/sparsity_pattern.hpp"
#include "steppers/step_control.hpp"

namespace bakewright::thermal {

inline constexpr std::size_t kRosenbrockStages = 6;

/// Coefficients of a stiffly accurate Rosenbrock method of order 4 with an embedded method of order 3, in the transformed
/// variables that need no multiplication by the Jacobian (Hairer & Wanner, Solving Ordinary Differential Equations II, 2nd ed.,
/// 1996, section IV.7, eq. (7.25)):
///
///     (I / (gamma h) - J) u_i = f(t + alpha_i h, y + sum_j a_ij u_j) + sum_j (c_ij / h) u_j + d_i h df/dt
///     y_1 = y + sum_j a_6j u_j + u_6,   error estimate = u_6
///     y(t + theta h) = (1 - theta) y + theta (y_1 + (1 - theta) (D_1 + theta D_2)),   D_k = sum_j dense_kj u_j
struct RosenbrockCoefficients {
    using Row = std::array<double, kRosenbrockStages>;
    double gamma;
    std::array<Row, kRosenbrockStages> a, c;
    Row alpha, d;
    std::array<Row, 2> dense;
};

/// RODAS: Hairer & Wanner, section IV.10, code RODAS. Mind d_4 = -0.0362: Boost 1.74's rosenbrock4 has it positive, which leaves
/// order one where the right-hand side names the time.
inline constexpr RosenbrockCoefficients kRodas{
    0.25,
    {{{},
      {1.544},
      {0.9466785280815826, 0.2557011698983284},
      {3.314825187068521, 2.896124015972201, 0.9986419139977817},
      {1.221224509226641, 6.019134481288629, 12.53708332932087, -0.6878860361058950},
      {1.221224509226641, 6.019134481288629, 12.53708332932087, -0.6878860361058950, 1.0}}},
    {{{},
      {-5.6688},
      {-2.430093356833875, -0.2063599157091915},
      {-0.1073529058151375, -9.594562251023355, -20.47028614809616},
      {7.496443313967647, -10.24680431464352, -33.99990352819905, 11.70890893206160},
      {8.083246795921522, -7.981132988064893, -31.52159432874371, 16.31930543123136, -6.058818238834054}}},
    {0.0, 0.386, 0.21, 0.63, 1.0, 1.0},
    {0.25, -0.1043, 0.1035, -0.0362, 0.0, 0.0},
    {{{10.12623508344586, -7.487995877610167, -34.80091861555747, -7.992771707568823, 1.025137723295662, 0.0},
      {-0.6762803392801253, 6.087714651680015, 16.43084320892478, 24.76722511418386, -6.594389125716872, 0.0}}}};

/// RODASP2: Steinebach, Improvement of Rosenbrock-Wanner method RODASP, in: Reis et al. (eds.), Progress in
/// Differential-Algebraic Equations II, Springer, 2020, pp. 165-184. Keeps its order better where the slow part of the solution
/// is driven from outside through stiff links, as air drives a thin skin, and did so at no cost on networks of 34 and 306 nodes
/// (docs/solvers.md): the default.
inline constexpr RosenbrockCoefficients kRodasp2{
    0.25,
    {{{},
      {3.0},
      {0.906377755268814, -0.189707390391685},
      {3.758617027739064, 1.161741776019525, -0.849258085312803},
      {7.089566927282776, 4.573591406461604, -8.423496976860259, -0.959280113459775},
      {7.089566927282776, 4.573591406461604, -8.423496976860259, -0.959280113459775, 1.0}}},
    {{{},
      {-12.0},
      {-6.354581592719008, 0.338972550544623},
      {-8.575016317114033, -7.606483992117508, 12.224997650124820},
      {-5.888975457523102, -8.157396617841821, 24.805546872612922, 12.790401512796979},
      {-4.408651676063871, -6.692003137674639, 24.625568527593117, 16.627521966636085, -5.714285714285718}}},
    {0.0, 0.75, 0.321448134013046, 0.519745732277726, 1.0, 1.0},
    {0.25, -0.5, -0.189532918363016, 0.085612108792769, 0.0, 0.0},
    {{{-5.323528268423303, -10.042123754867493, 17.175254928256965, -5.079931171878093, -0.016185991706112, 0.0},
      {6.984505741529879, 6.914061169603662, -0.849178943070653, 18.104410789349338, -3.516963011559032, 0.0}}}};

/// Linearly implicit Rosenbrock stepper of order 4 with an error estimate of order 3: L-stable and stiffly accurate, so the
/// step follows the accuracy wanted and not the fastest zone. One Jacobian, one sparse factorisation, six solves a step.
///
/// An Odeint error stepper (do_step with and without error), and a method for ControlledStepper and DenseOutputStepper.
/// Source of the coefficients: see the constant given as Coefficients.
template <class Real, const RosenbrockCoefficients& Coefficients = kRodasp2>
class RosenbrockStepper {
public:
    using real_type = Real;
    using scalar_type = lane_scalar_t<Real>;
    using state_type = std::vector<Real>;
    using deriv_type = state_type;
    using value_type = double;
    using time_type = double;
    using order_type = unsigned short;
    using stepper_category = boost::numeric::odeint::error_stepper_tag;

    [[nodiscard]] static constexpr order_type order() noexcept { return 4; }
    [[nodiscard]] static constexpr order_type stepper_order() noexcept { return 4; }
    [[nodiscard]] static constexpr order_type error_order() noexcept { return 3; }
    /// Share of the step that the error estimate would allow.
    [[nodiscard]] static constexpr double safety() noexcept { return 0.9; }

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

    /// Makes room for the system, and analyses its pattern where it is a new one.
    template <DifferentiableSystem<Real> System>
    void prepare(const System& system) {
        lu_.analyse(system.pattern());
        jacobian_.resize(system.pattern().entry_count());
        for (state_type* vector : {&rate_, &time_derivative_, &point_, &stage_rate_, &dense_[0], &dense_[1]})
            vector->resize(system.size());
        for (state_type& stage : stage_) stage.resize(system.size());
    }

    /// Rates and their derivatives where a step begins. Good for any number of attempts from there.
    /// @param follows  whether the last attempt was accepted and this step begins where it ended (of no use to this method)
    template <DifferentiableSystem<Real> System>
    void begin_step(const System& system, double time_s, std::span<const Real> y, bool follows) {
        static_cast<void>(follows);
        if constexpr (LinearisingSystem<System, Real>) {
            system.linearise(time_s, y, rate_, jacobian_, time_derivative_);
        } else {
            system.rates(time_s, y, rate_);
            system.jacobian(time_s, y, jacobian_);
            system.time_derivative(time_s, y, time_derivative_);
        }
        ++work_.rate_evaluations;
        ++work_.jacobian_evaluations;
    }

    /// A step from where begin_step() stood. Shapes: all spans hold size() values; out may be y.
    template <DifferentiableSystem<Real> System>
    void attempt(const System& system, double time_s, std::span<const Real> y, double step_s, std::span<Real> out,
                 std::span<Real> error) {
        lu_.factorise(static_cast<scalar_type>(1.0 / (Coefficients.gamma * step_s)), jacobian_);
        ++work_.factorisations;
        work_.rate_evaluations += kRosenbrockStages - 1;
        [&]<std::size_t... Stage>(std::index_sequence<Stage...>) { (take_stage<Stage>(system, time_s, y, step_s), ...); }
        (std::make_index_sequence<kRosenbrockStages>{});
        const Real* const last = stage_[kRosenbrockStages - 1].data();
        for (std::size_t i = 0; i < y.size(); ++i) {
            out[i] = point_[i] + last[i];
            error[i] = last[i];
        }
        dense_is_ready_ = false;
    }

    /// State at a share theta (0 to 1) of the last attempt, which went from before to after. Uniformly of order 3.
    void interpolate(double theta, std::span<const Real> before, std::span<const Real> after, std::span<Real> out) {
        if (!dense_is_ready_) ready_dense();
        const auto s = static_cast<scalar_type>(theta);
        const scalar_type rest = scalar_type{1} - s;
        for (std::size_t i = 0; i < out.size(); ++i)
            out[i] = rest * before[i] + s * (after[i] + rest * (dense_[0][i] + s * dense_[1][i]));
    }

    /// As interpolate(), of one component.
    [[nodiscard]] Real interpolate_component(double theta, std::size_t index, const Real& before, const Real& after) {
        if (!dense_is_ready_) ready_dense();
        const auto share = static_cast<scalar_type>(theta);
        const scalar_type rest = scalar_type{1} - share;
        return rest * before + share * (after + rest * (dense_[0][index] + share * dense_[1][index]));
    }

    /// Second derivative y'' = J f + df/dt where begin_step() stood; for the first guess of a step.
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
    /// Any step is stable.
    [[nodiscard]] static constexpr double longest_step_s() noexcept { return 1e300; }
    /// Rates where begin_step() stood.
    [[nodiscard]] std::span<const Real> rates() const noexcept { return rate_; }
    [[nodiscard]] const WorkCounts& work() const noexcept { return work_; }

private:
    /// One stage: its point, its rates, its solve.
    template <std::size_t Stage, class System>
    void take_stage(const System& system, double time_s, std::span<const Real> y, double step_s) {
        if constexpr (Stage > 0) {
            move_point<Stage>(y);
            system.rates(time_s + Coefficients.alpha[Stage] * step_s, std::span<const Real>(point_),
                         std::span<Real>(stage_rate_));
        }
        const Real* rate = Stage > 0 ? stage_rate_.data() : rate_.data();
        if constexpr (Coefficients.d[Stage] != 0.0) {
            const auto weight = static_cast<scalar_type>(Coefficients.d[Stage] * step_s);
            for (std::size_t i = 0; i < y.size(); ++i) stage_rate_[i] = rate[i] + weight * time_derivative_[i];
            rate = stage_rate_.data();
        }
        if constexpr (Stage > 0)
            add_stages<Stage>(Coefficients.c[Stage], static_cast<scalar_type>(1.0 / step_s), rate, stage_rate_.data());
        lu_.solve(std::span<const Real>(Stage > 0 ? stage_rate_.data() : rate, y.size()), stage_[Stage]);
    }

    /// The point of a stage. The last is the one before plus a whole stage: stiff accuracy.
    template <std::size_t Stage>
    void move_point(std::span<const Real> y) {
        if constexpr (Stage + 1 < kRosenbrockStages) {
            add_stages<Stage>(Coefficients.a[Stage], scalar_type{1}, y.data(), point_.data());
        } else {
            const Real* const u = stage_[Stage - 1].data();
            for (std::size_t i = 0; i < y.size(); ++i) point_[i] += u[i];
        }
    }

    /// out = base + scale * sum of coefficient_j u_j over the stages before; out may be base.
    template <std::size_t Stage>
    void add_stages(const RosenbrockCoefficients::Row& row, scalar_type scale, const Real* base, Real* out) {
        std::array<scalar_type, Stage> weight;
        std::array<const Real*, Stage> u;
        for (std::size_t j = 0; j < Stage; ++j) {
            weight[j] = static_cast<scalar_type>(row[j]) * scale;
            u[j] = stage_[j].data();
        }
        for (std::size_t i = 0, n = rate_.size(); i < n; ++i) {
            Real sum = base[i];
            [&]<std::size_t... J>(std::index_sequence<J...>) { ((sum += weight[J] * u[J][i]), ...); }
            (std::make_index_sequence<Stage>{});
            out[i] = sum;
        }
    }

    void ready_dense() {
        for (std::size_t k = 0; k < 2; ++k) {
            std::fill(dense_[k].begin(), dense_[k].end(), Real{});
            add_stages<kRosenbrockStages>(Coefficients.dense[k], scalar_type{1}, dense_[k].data(), dense_[k].data());
        }
        dense_is_ready_ = true;
    }

    SparseLu<Real> lu_;
    std::array<state_type, kRosenbrockStages> stage_;
    std::array<state_type, 2> dense_;
    state_type jacobian_, rate_, time_derivative_, point_, stage_rate_, odeint_error_;
    bool dense_is_ready_ = false;
    WorkCounts work_;
};

}  // namespace bakewright::thermal
