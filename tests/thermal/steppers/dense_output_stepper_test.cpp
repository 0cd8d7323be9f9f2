// SPDX-License-Identifier: Apache-2.0
#include "steppers/dense_output_stepper.hpp"

#include <doctest/doctest.h>

#include <boost/numeric/odeint/integrate/integrate_adaptive.hpp>
#include <boost/numeric/odeint/integrate/integrate_const.hpp>
#include <boost/numeric/odeint/integrate/integrate_n_steps.hpp>
#include <boost/numeric/odeint/integrate/integrate_times.hpp>
#include <cmath>
#include <limits>
#include <string>

#include "bakewright/base/error.hpp"
#include "thermal/steppers/test_systems.hpp"

namespace bakewright::thermal {

using test::FunctionSystem;
using DenseRosenbrock = DenseOutputStepper<RosenbrockStepper<double>>;
namespace odeint = boost::numeric::odeint;
namespace {

StepOptions tolerance(double absolute) {
    StepOptions options;
    options.absolute_tolerance = absolute;
    return options;
}

/// State at the end.
template <class Stepper, class System>
std::vector<double> run(const System& system, std::vector<double> y, double end_s, double absolute_tolerance) {
    Stepper stepper(tolerance(absolute_tolerance));
    integrate_segment(stepper, system, std::span<double>(y), 0.0, end_s);
    return y;
}

std::string message_of(const auto& action) {
    try {
        action();
    } catch (const SolveError& error) {
        return error.what();
    }
    return "nothing thrown";
}

}  // namespace

TEST_CASE_TEMPLATE("a plate heated by radiation alone follows the closed form", Stepper, DenseRosenbrock) {
    // Source:    Bejan & Kraus (eds.), Heat Transfer Handbook, eq. (3.283): T as a function of t given implicitly; surroundings
    //            773.15 K, start 293.15 K, emissivity 1, 7222 J/m2K: 100, 200 and 400 C after the times below.
    // Tolerance: 2e-4 K. Steps may err by 1e-6 K each and there are hundreds. Seen: 1e-6 K and 6e-5 K.
    const double sigma = 5.670374419e-8, surroundings_k = 773.15, capacity_j_per_m2_k = 7222.0;
    const FunctionSystem plate{
        test::dense_pattern(1),
        [=](double, auto y, auto f) { f[0] = sigma * (std::pow(surroundings_k, 4) - std::pow(y[0], 4)) / capacity_j_per_m2_k; },
        [=](double, auto y, auto j) { j[0] = -4.0 * sigma * std::pow(y[0], 3) / capacity_j_per_m2_k; }, nullptr};
    CHECK(std::abs(run<Stepper>(plate, {293.15}, 29.567120, 1e-6)[0] - 373.15) <= 2e-4);
    CHECK(std::abs(run<Stepper>(plate, {293.15}, 68.862737, 1e-6)[0] - 473.15) <= 2e-4);
    CHECK(std::abs(run<Stepper>(plate, {293.15}, 177.843559, 1e-6)[0] - 673.15) <= 2e-4);
}

TEST_CASE_TEMPLATE("a body whose film coefficient follows the difference follows the closed form", Stepper, DenseRosenbrock) {
    // Source:    Bejan & Kraus (eds.), Heat Transfer Handbook, eq. (3.286), h = 8 (d/150)^0.25 W/m2K, 7222 J/m2K, 150 K apart at
    //            the start: 81.107357 K apart after 600 s.
    // Tolerance: 2e-4 K. Steps may err by 1e-6 K each and there are hundreds. Seen: 4e-7 K and 7e-5 K.
    const FunctionSystem body{
        test::dense_pattern(1), [](double, auto y, auto f) { f[0] = -8.0 / 7222.0 * std::pow(y[0] / 150.0, 0.25) * y[0]; },
        [](double, auto y, auto j) { j[0] = -1.25 * 8.0 / 7222.0 * std::pow(y[0] / 150.0, 0.25); }, nullptr};
    CHECK(std::abs(run<Stepper>(body, {150.0}, 600.0, 1e-6)[0] - 81.107357) <= 2e-4);
}

TEST_CASE_TEMPLATE("two bodies that exchange heat follow the closed form and keep their heat", Stepper, DenseRosenbrock) {
    // Source:    Bejan & Kraus (eds.), Heat Transfer Handbook, eqs. (3.287) and (3.288): 5000 and 12000 J/K, 20 W/K, 180 and
    //            20 C; after 200 s 103.421169 and 51.907846 C; the heat stays 1,140,000 J.
    // Tolerance: 2e-4 K, as above. Seen: 6e-7 K and 8e-5 K. Heat: 1e-9 of it, rounding, since every stage conserves it.
    const FunctionSystem pair{test::dense_pattern(2),
                              [](double, auto y, auto f) {
                                  const double heat_w = 20.0 * (y[0] - y[1]);
                                  f[0] = -heat_w / 5000.0;
                                  f[1] = heat_w / 12000.0;
                              },
                              [](double, auto, auto j) {
                                  j[0] = -20.0 / 5000.0;
                                  j[1] = 20.0 / 5000.0;
                                  j[2] = 20.0 / 12000.0;
                                  j[3] = -20.0 / 12000.0;
                              },
                              nullptr};
    const auto y = run<Stepper>(pair, {180.0, 20.0}, 200.0, 1e-6);
    CHECK(std::abs(y[0] - 103.421169) <= 2e-4);
    CHECK(std::abs(y[1] - 51.907846) <= 2e-4);
    CHECK(std::abs(5000.0 * y[0] + 12000.0 * y[1] - 1140000.0) <= 1.14e-3);
}

TEST_CASE_TEMPLATE("output comes at exactly the times asked for, in order, and matches the solution", Stepper, DenseRosenbrock) {
    // Tolerance: 1e-5 for steps that may err by 1e-8.
    const FunctionSystem system = test::timed();
    Stepper stepper(tolerance(1e-8));
    const std::vector<double> times{0.001, 0.5, 0.50001, 1.25, 2.0};
    std::vector<double> y{1.0}, seen;
    integrate_segment(stepper, system, std::span<double>(y), 0.0, 2.0, {}, times, [&](double t, std::span<const double> state) {
        seen.push_back(t);
        CHECK(std::abs(state[0] - 1.0 / (1.0 + t * t)) <= 1e-5);
    });
    CHECK(seen == times);
    CHECK(std::abs(y[0] - 0.2) <= 1e-5);
}

TEST_CASE_TEMPLATE("a segment ends exactly where it should, and no rate is asked for beyond it", Stepper, DenseRosenbrock) {
    double latest_s = 0.0;
    FunctionSystem system = test::timed();
    const auto f = system.f;
    system.f = [&, f](double t, auto y, auto out) {
        latest_s = std::max(latest_s, t);
        f(t, y, out);
    };
    Stepper stepper(tolerance(1e-3));
    std::vector<double> y{1.0};
    double begin_s = 0.0;
    for (const double end_s : {0.1, 0.3, 0.30001, 7.0, 7.7}) {
        latest_s = begin_s;
        integrate_segment(stepper, system, std::span<double>(y), begin_s, end_s);
        CHECK(stepper.current_time() == end_s);
        CHECK(latest_s <= end_s * (1.0 + 1e-15));
        begin_s = end_s;
    }
}

TEST_CASE_TEMPLATE("a short pulse between two breakpoints is not stepped over", Stepper, DenseRosenbrock) {
    // A body at rest for an hour, then 2 kW for one second, then at rest: 2000 J in 1000 J/K is 2 K, to rounding.
    double heat_w = 0.0;
    const FunctionSystem body{test::dense_pattern(1), [&](double, auto, auto f) { f[0] = heat_w / 1000.0; },
                              [](double, auto, auto j) { j[0] = 0.0; }, nullptr};
    Stepper stepper(tolerance(1e-3));
    std::vector<double> y{300.0};
    integrate_segment(stepper, body, std::span<double>(y), 0.0, 3600.0);
    CHECK(y[0] == 300.0);
    heat_w = 2000.0;
    integrate_segment(stepper, body, std::span<double>(y), 3600.0, 3601.0);
    heat_w = 0.0;
    integrate_segment(stepper, body, std::span<double>(y), 3601.0, 7200.0);
    CHECK(std::abs(y[0] - 302.0) <= 1e-9);
}

TEST_CASE("the error of a run shrinks with the tolerance") {
    // Seen: 0.07 to 0.1 times the tolerance of a step. Kept: once.
    const test::BoothChain<double> booth(12);
    const auto reference = run<DenseRosenbrock>(booth, booth.start(), 3600.0, 1e-10);
    for (const double absolute : {1e-2, 1e-3, 1e-4, 1e-5}) {
        CAPTURE(absolute);
        CHECK(test::largest_difference<double>(run<DenseRosenbrock>(booth, booth.start(), 3600.0, absolute), reference) <=
              absolute);
    }
}

TEST_CASE("a body ten thousand times lighter than the rest does not slow the DenseRosenbrock stepper") {
    const auto steps = [](double stiffness) {
        const test::BoothChain<double> booth(12, stiffness);
        DenseRosenbrock stepper(tolerance(1e-2));
        auto y = booth.start();
        return integrate_segment(stepper, booth, std::span<double>(y), 0.0, 3600.0).work;
    };
    CHECK(steps(1e4).accepted_steps <= 2 * steps(1.0).accepted_steps);
    CHECK(steps(1e4).factorisations == steps(1e4).accepted_steps + steps(1e4).rejected_steps);
}

// The part that breaks is the first, so that the sound ones behind it could hide it.
TEST_CASE_TEMPLATE("rates that turn into no number stop the run with its time and the fastest parts", Stepper, DenseRosenbrock) {
    const FunctionSystem system{test::dense_pattern(4),
                                [](double t, auto, auto f) {
                                    f[0] = t > 12.5 ? std::numeric_limits<double>::quiet_NaN() : -0.5;
                                    f[1] = 14.25;
                                    f[2] = 3.0;
                                    f[3] = 1.0;
                                },
                                [](double, auto, auto j) { std::fill(j.begin(), j.end(), 0.0); }, nullptr};
    Stepper stepper(tolerance(1e-3));
    std::vector<double> y(4, 300.0);
    const std::string message = message_of([&] { integrate_segment(stepper, system, std::span<double>(y), 0.0, 100.0); });
    CHECK(message ==
          "run stopped at 12.5 s: no step down to 1e-06 s was accepted; fastest: part 1 14.2 K/s, part 2 3 K/s, part 3 1 K/s");
    CHECK(y == std::vector<double>(4, 300.0));
}

TEST_CASE_TEMPLATE("a state or rate that is infinite or no number from the start is never accepted", Stepper, DenseRosenbrock) {
    for (const double bad : {std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::infinity()}) {
        const FunctionSystem system{test::dense_pattern(2),
                                    [bad](double, auto, auto f) {
                                        f[0] = bad;
                                        f[1] = 0.0;
                                    },
                                    [](double, auto, auto j) { std::fill(j.begin(), j.end(), 0.0); }, nullptr};
        Stepper stepper(tolerance(1e-3));
        std::vector<double> y{300.0, 300.0};
        const std::string message = message_of([&] { integrate_segment(stepper, system, std::span<double>(y), 0.0, 10.0); });
        CHECK(message == "run stopped at 0.0 s: no step down to 1e-06 s was accepted; fastest: part 0 not finite, part 1 0 K/s");
        const FunctionSystem sound = test::kaps(1.0);
        std::vector<double> z{1.0, bad};
        CHECK_THROWS_AS(integrate_segment(stepper, sound, std::span<double>(z), 0.0, 10.0), SolveError);
    }
}

TEST_CASE("the ceiling on steps ends a run that gets nowhere") {
    StepOptions options = tolerance(1e-9);
    options.step_ceiling = 20;
    DenseRosenbrock stepper(options);
    const FunctionSystem system = test::timed();
    std::vector<double> y{1.0};
    const std::string message = message_of([&] { integrate_segment(stepper, system, std::span<double>(y), 0.0, 100.0); });
    CHECK(message.find("20 steps did not reach the end") != std::string::npos);
    CHECK(message.find("part 0") != std::string::npos);
}

TEST_CASE("a run repeated gives the same numbers to the last bit, with a new stepper and with a used one") {
    const test::BoothChain<double> booth(12);
    DenseRosenbrock used(tolerance(1e-3));
    auto first = booth.start(), second = booth.start();
    integrate_segment(used, booth, std::span<double>(first), 0.0, 3600.0);
    integrate_segment(used, booth, std::span<double>(second), 0.0, 3600.0);
    CHECK(first == second);
    CHECK(run<DenseRosenbrock>(booth, booth.start(), 3600.0, 1e-3) == first);
}

TEST_CASE("steps recorded and taken again as a plan give the same numbers") {
    const test::BoothChain<double> booth(12);
    DenseRosenbrock stepper(tolerance(1e-3));
    std::vector<double> plan;
    auto free = booth.start(), planned = booth.start();
    const auto report = integrate_segment(stepper, booth, std::span<double>(free), 0.0, 3600.0, {.record_s = &plan});
    CHECK(plan.size() == report.work.accepted_steps);
    const auto again = integrate_segment(stepper, booth, std::span<double>(planned), 0.0, 3600.0, {.plan_s = plan});
    CHECK(again.work.rejected_steps == 0);
    CHECK(again.largest_error_norm <= 1.0);
    // Ends of steps are kept, not their lengths, so a length may differ in its last bits. Seen: 1e-13 K.
    CHECK(test::largest_difference<double>(free, planned) <= 1e-9);
}

TEST_CASE("times that do not fit the segment are refused") {
    const FunctionSystem system = test::timed();
    DenseRosenbrock stepper;
    std::vector<double> y{1.0};
    const auto ignore = [](double, std::span<const double>) {};
    CHECK_THROWS_AS(integrate_segment(stepper, system, std::span<double>(y), 1.0, 1.0), PromiseError);
    CHECK_THROWS_AS(integrate_segment(stepper, system, std::span<double>(y), 0.0, 1.0, {}, std::vector{0.0}, ignore),
                    PromiseError);
    CHECK_THROWS_AS(integrate_segment(stepper, system, std::span<double>(y), 0.0, 1.0, {}, std::vector{1.5}, ignore),
                    PromiseError);
}

TEST_CASE("options outside their range are refused") {
    const auto refused = [](auto&& change) {
        StepOptions options;
        change(options);
        CHECK_THROWS_AS(DenseRosenbrock{options}, PromiseError);
    };
    refused([](StepOptions& o) { o.absolute_tolerance = 0.0; });
    refused([](StepOptions& o) { o.absolute_tolerance = std::nan(""); });
    refused([](StepOptions& o) { o.relative_tolerance = -1.0; });
    refused([](StepOptions& o) { o.smallest_step_s = 0.0; });
    refused([](StepOptions& o) { o.largest_step_s = 1e-9; });
    refused([](StepOptions& o) { o.first_step_s = -1.0; });
    refused([](StepOptions& o) { o.step_ceiling = 0; });
}

}  // namespace bakewright::thermal

// The steppers under Boost.Odeint's own integrate functions.

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
                   RosenbrockStepper<double>) {
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

TEST_CASE_TEMPLATE("as dense-output steppers they run under the adaptive, constant and timed functions", Stepper,
                   RosenbrockStepper<double>) {
    const test::FunctionSystem system = test::timed();
    const auto dense = DenseOutputStepper<Stepper>(1e-7, 1e-7);
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
    CHECK_THROWS_AS(odeint::integrate_adaptive(DenseOutputStepper<RosenbrockStepper<double>>(1e-3, 0.0), std::cref(broken), y,
                                               0.0, 10.0, 1.0, [](const std::vector<double>&, double) {}),
                    SolveError);
    CHECK(y[0] == 300.0);
}

}  // namespace bakewright::thermal
