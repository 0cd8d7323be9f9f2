// The steppers under Boost.Odeint's own integrate functions.
#include <doctest/doctest.h>

#include <boost/numeric/odeint/integrate/integrate_adaptive.hpp>
#include <boost/numeric/odeint/integrate/integrate_const.hpp>
#include <boost/numeric/odeint/integrate/integrate_n_steps.hpp>
#include <boost/numeric/odeint/integrate/integrate_times.hpp>
#include <cmath>

#include "bakewright/base/error.hpp"
#include "bakewright/thermal/steppers/controlled_stepper.hpp"
#include "bakewright/thermal/steppers/dense_output_stepper.hpp"
#include "thermal/steppers/test_systems.hpp"

namespace odeint = boost::numeric::odeint;

namespace bakewright::thermal {
namespace {

double exact(double t) { return 1.0 / (1.0 + t * t); }

/// Remembers the worst difference from the exact solution, and the times it was called at.
struct Watcher {
    std::vector<double>& times;
    double& worst;
    void operator()(const std::vector<double>& y, double t) const {
        times.push_back(t);
        worst = std::max(worst, std::abs(y[0] - exact(t)));
    }
};

struct Watch {
    std::vector<double> times;
    double worst = 0.0;
    Watcher watcher() { return {times, worst}; }
};

const std::vector<double> kGrid{0.0, 0.25, 0.5, 0.75, 1.0, 1.25, 1.5, 1.75, 2.0};
const std::vector<double> kUneven{0.0, 0.1, 0.11, 0.9, 2.0};

// Tolerances below: 1e-5 for steppers told 1e-7 a step, which take fewer than a hundred steps on a contracting problem; 2e-3 for
// 64 fixed steps of order two, whose error is of the size of h^2 = 1e-3.

}  // namespace

TEST_CASE_TEMPLATE("as error steppers they run under integrate_const, integrate_n_steps and integrate_adaptive", Stepper,
                   RosenbrockStepper<double>, ChebyshevStepper<double>) {
    const test::FunctionSystem system = test::timed();
    Watch constant, counted, adaptive;
    std::vector<double> y{1.0};
    CHECK(odeint::integrate_const(Stepper(), std::cref(system), y, 0.0, 2.0, 1.0 / 32, constant.watcher()) == 64);
    CHECK(constant.times.size() == 65);
    CHECK(constant.worst <= 2e-3);
    y = {1.0};
    CHECK(std::abs(odeint::integrate_n_steps(Stepper(), std::cref(system), y, 0.0, 1.0 / 32, 64, counted.watcher()) - 2.0) <=
          1e-12);
    CHECK(counted.worst == constant.worst);
    y = {1.0};
    odeint::integrate_adaptive(Stepper(), std::cref(system), y, 0.0, 2.0, 0.03, adaptive.watcher());
    CHECK(adaptive.times.back() == 2.0);
    CHECK(adaptive.worst <= 2e-3);
}

TEST_CASE_TEMPLATE("as controlled steppers they run under the adaptive, constant and timed functions", Stepper,
                   RosenbrockStepper<double>, ChebyshevStepper<double>) {
    const test::FunctionSystem system = test::timed();
    const auto controlled = odeint::make_controlled<Stepper>(1e-7, 1e-7);
    Watch adaptive, constant, timed;
    std::vector<double> y{1.0};
    CHECK(odeint::integrate_adaptive(controlled, std::cref(system), y, 0.0, 2.0, 0.1, adaptive.watcher()) >= 4);
    CHECK(adaptive.worst <= 1e-5);
    CHECK(std::abs(adaptive.times.back() - 2.0) <= 1e-12);
    y = {1.0};
    odeint::integrate_const(controlled, std::cref(system), y, 0.0, 2.0, 0.25, constant.watcher());
    CHECK(constant.times == kGrid);
    CHECK(constant.worst <= 1e-5);
    y = {1.0};
    odeint::integrate_times(controlled, std::cref(system), y, kUneven.begin(), kUneven.end(), 0.1, timed.watcher());
    CHECK(timed.times == kUneven);
    CHECK(timed.worst <= 1e-5);
}

TEST_CASE_TEMPLATE("as dense-output steppers they run under the adaptive, constant and timed functions", Stepper,
                   RosenbrockStepper<double>, ChebyshevStepper<double>) {
    const test::FunctionSystem system = test::timed();
    const auto dense = odeint::make_dense_output<Stepper>(1e-7, 1e-7);
    Watch adaptive, constant, timed;
    std::vector<double> y{1.0};
    CHECK(odeint::integrate_adaptive(dense, std::cref(system), y, 0.0, 2.0, 0.1, adaptive.watcher()) >= 4);
    CHECK(adaptive.worst <= 1e-5);
    CHECK(std::abs(adaptive.times.back() - 2.0) <= 1e-12);
    CHECK(std::abs(y[0] - 0.2) <= 1e-5);
    y = {1.0};
    odeint::integrate_const(dense, std::cref(system), y, 0.0, 2.0, 0.25, constant.watcher());
    CHECK(constant.times == kGrid);
    CHECK(constant.worst <= 1e-5);
    y = {1.0};
    odeint::integrate_times(dense, std::cref(system), y, kUneven.begin(), kUneven.end(), 0.1, timed.watcher());
    CHECK(timed.times == kUneven);
    CHECK(timed.worst <= 1e-5);
}

TEST_CASE("a system whose rates are not a number stops Odeint's functions as well") {
    const test::FunctionSystem broken{test::dense_pattern(1), [](double, auto, auto f) { f[0] = std::nan(""); },
                                      [](double, auto, auto j) { j[0] = -1.0; }, nullptr};
    std::vector<double> y{300.0};
    CHECK_THROWS_AS(odeint::integrate_adaptive(odeint::make_controlled<RosenbrockStepper<double>>(1e-3, 0.0), std::cref(broken),
                                               y, 0.0, 10.0, 1.0, [](const std::vector<double>&, double) {}),
                    SolveError);
    CHECK(y[0] == 300.0);
    CHECK_THROWS_AS(odeint::integrate_adaptive(odeint::make_dense_output<ChebyshevStepper<double>>(1e-3, 0.0), std::cref(broken),
                                               y, 0.0, 10.0, 1.0, [](const std::vector<double>&, double) {}),
                    SolveError);
    CHECK(y[0] == 300.0);
}

}  // namespace bakewright::thermal
