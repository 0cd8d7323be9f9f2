#include "bakewright/thermal/solve.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <boost/numeric/odeint/stepper/controlled_runge_kutta.hpp>
#include <boost/numeric/odeint/stepper/dense_output_runge_kutta.hpp>
#include <boost/numeric/odeint/stepper/generation/generation_dense_output_runge_kutta.hpp>
#include <boost/numeric/odeint/stepper/generation/generation_runge_kutta_dopri5.hpp>
#include <boost/numeric/odeint/stepper/generation/make_dense_output.hpp>
#include <boost/numeric/odeint/stepper/runge_kutta_dopri5.hpp>
#include <cmath>
#include <numeric>

#include "bakewright/base/error.hpp"
#include "bakewright/thermal/rate_system.hpp"

namespace bakewright::thermal {
namespace {

namespace odeint = boost::numeric::odeint;
using State = std::vector<double>;

constexpr double kSmallestStepS = 1e-6;

/// Names the components that change fastest, for the message of a solve that gave out.
std::string fastest_components(const RateSystem<double>& system, double time_s, const State& y) {
    State rate(system.size());
    system.rates(time_s, y, rate);
    std::vector<std::size_t> order(system.node_count());
    std::iota(order.begin(), order.end(), std::size_t{0});
    const auto speed = [&](std::size_t i) { return std::isfinite(rate[i]) ? std::abs(rate[i]) : HUGE_VAL; };
    const std::size_t shown = std::min<std::size_t>(3, order.size());
    std::partial_sort(order.begin(), order.begin() + static_cast<std::ptrdiff_t>(shown), order.end(),
                      [&](std::size_t a, std::size_t b) { return speed(a) > speed(b); });
    std::string text;
    for (std::size_t k = 0; k < shown; ++k)
        text += fmt::format("{}{} {:.3g} K/s", k == 0 ? "" : ", ", system.name(order[k]), rate[order[k]]);
    return text;
}

[[noreturn]] void stop(const RateSystem<double>& system, double time_s, const State& y, const std::string& reason) {
    throw SolveError(
        fmt::format("run stopped at {:.1f} s: {}; fastest: {}", time_s, reason, fastest_components(system, time_s, y)));
}

bool all_finite(const State& y) {
    return std::all_of(y.begin(), y.end(), [](double value) { return std::isfinite(value); });
}

/// Tells the observer each moment once.
class Reporter {
public:
    Reporter(const RateSystem<double>& system, const StateObserver& observer, double start_s, double interval_s)
        : system_(system), observer_(observer), start_s_(start_s), interval_s_(interval_s) {}

    [[nodiscard]] double next_s() const noexcept { return start_s_ + static_cast<double>(next_index_) * interval_s_; }
    void report(double time_s, const State& y) {
        if (time_s >= next_s() - kSameMomentS) ++next_index_;
        if (time_s <= last_s_ + kSameMomentS) return;
        last_s_ = time_s;
        account_j_.clear();
        const std::span<const double> all(y);
        for (std::size_t a = 0; a + system_.node_count() < y.size(); ++a) account_j_.push_back(system_.account_heat_j(all, a));
        observer_(time_s, all.first(system_.node_count()), account_j_);
    }

private:
    static constexpr double kSameMomentS = 1e-9;
    const RateSystem<double>& system_;
    const StateObserver& observer_;
    double start_s_, interval_s_;
    double last_s_ = -HUGE_VAL;
    std::size_t next_index_ = 0;
    std::vector<double> account_j_;
};

}  // namespace

void SolveOptions::check() const {
    ensure(relative_tolerance >= 1e-12 && relative_tolerance <= 1e-2, "the relative tolerance is 1e-12 to 1e-2");
    ensure(absolute_tolerance_k >= 1e-9 && absolute_tolerance_k <= 1.0, "the absolute tolerance is 1e-9 to 1 K");
    ensure(std::isfinite(output_interval_s) && output_interval_s > 0.0, "the output interval is positive");
}

SolveStatistics solve(const Network& network, std::span<const Segment> segments, const SolveOptions& options,
                      const StateObserver& observer) {
    options.check();
    ensure(!segments.empty(), "a solve has at least one segment");
    RateSystem<double> system(network);
    SolveStatistics statistics{.stepper = "Dormand-Prince 5(4), dense output"};
    const auto rates = [&](const State& y, State& dydt, double time_s) {
        ++statistics.rate_evaluations;
        system.rates(time_s, y, dydt);
    };
    State y(system.size());
    system.start(y);
    State at(system.size());
    Reporter reporter(system, observer, segments.front().begin_s, options.output_interval_s);
    reporter.report(segments.front().begin_s, y);
    double step_s = 1.0;
    for (const Segment& segment : segments) {
        system.set_segment(segment);
        auto stepper = odeint::make_dense_output(options.absolute_tolerance_k, options.relative_tolerance,
                                                 odeint::runge_kutta_dopri5<State>());
        double now_s = segment.begin_s;
        while (now_s < segment.end_s) {
            const double left_s = segment.end_s - now_s;
            stepper.initialize(y, now_s, std::min(step_s, left_s));
            std::pair<double, double> interval;
            try {
                interval = stepper.do_step(rates);
            } catch (const odeint::odeint_error& error) {
                stop(system, now_s, y, error.what());
            }
            const bool reaches_end = interval.second >= segment.end_s * (1.0 - 1e-15);
            if (!all_finite(stepper.current_state())) stop(system, now_s, y, "a temperature is not finite");
            const double end_s = reaches_end ? segment.end_s : interval.second;
            if (end_s - now_s < kSmallestStepS && left_s > kSmallestStepS)
                stop(system, now_s, y, fmt::format("no step down to {:.0e} s was accepted", kSmallestStepS));
            for (double out_s = reporter.next_s(); out_s < end_s - 1e-9; out_s = reporter.next_s()) {
                stepper.calc_state(out_s, at);
                reporter.report(out_s, at);
            }
            y = stepper.current_state();
            now_s = end_s;
            // A step cut short by the segment's end says nothing about the step the solution would allow.
            step_s = reaches_end ? std::max(step_s, stepper.current_time_step()) : stepper.current_time_step();
            if (++statistics.accepted_steps > options.largest_step_count)
                stop(system, now_s, y, fmt::format("more than {} steps", options.largest_step_count));
        }
        reporter.report(segment.end_s, y);
    }
    return statistics;
}

}  // namespace bakewright::thermal
