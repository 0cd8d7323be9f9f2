#include <fmt/core.h>

#include <algorithm>
#include <boost/numeric/odeint/stepper/controlled_runge_kutta.hpp>
#include <boost/numeric/odeint/stepper/dense_output_runge_kutta.hpp>
#include <boost/numeric/odeint/stepper/generation/generation_dense_output_runge_kutta.hpp>
#include <boost/numeric/odeint/stepper/generation/generation_runge_kutta_dopri5.hpp>
#include <boost/numeric/odeint/stepper/generation/make_dense_output.hpp>
#include <boost/numeric/odeint/stepper/runge_kutta_dopri5.hpp>
#include <cmath>
#include <numeric>

#include "bakewright/base/error.hpp"
#include "solve_report.hpp"

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

/// One accepted step from now on, with what it took. Odeint does not tell how many tries it made; the rates do: one evaluation to
/// begin with and six a try (Dormand & Prince, seven stages, the last of them the first of the next step).
class DormandPrinceStep {
public:
    DormandPrinceStep(const RateSystem<double>& system, const SolveOptions& options, SolveStatistics& statistics)
        : system_(system),
          statistics_(statistics),
          stepper_(odeint::make_dense_output(options.absolute_tolerance_k, options.relative_tolerance,
                                             odeint::runge_kutta_dopri5<State>())) {}

    /// Returns the step's end. @throws SolveError
    double take(const State& y, double now_s, double step_s) {
        const std::size_t before = statistics_.rate_evaluations;
        stepper_.initialize(y, now_s, step_s);
        double end_s = now_s;
        try {
            end_s = stepper_
                        .do_step([this](const State& at, State& dydt, double time_s) {
                            ++statistics_.rate_evaluations;
                            system_.rates(time_s, at, dydt);
                        })
                        .second;
        } catch (const odeint::odeint_error& error) {
            stop(system_, now_s, y, error.what());
        }
        statistics_.rejected_steps += (statistics_.rate_evaluations - before - 1) / kEvaluationsATry - 1;
        ++statistics_.accepted_steps;
        if (!all_finite(state())) stop(system_, now_s, y, "a temperature is not finite");
        return end_s;
    }
    [[nodiscard]] const State& state() const { return stepper_.current_state(); }
    [[nodiscard]] double next_step_s() const { return stepper_.current_time_step(); }
    void state_at(double time_s, State& at) const { stepper_.calc_state(time_s, at); }

private:
    static constexpr std::size_t kEvaluationsATry = 6;
    const RateSystem<double>& system_;
    SolveStatistics& statistics_;
    odeint::result_of::make_dense_output<odeint::runge_kutta_dopri5<State>>::type stepper_;
};

}  // namespace

SolveStatistics solve_dormand_prince(RateSystem<double>& system, std::span<const Segment> segments, const SolveOptions& options,
                                     SolveReporter& reporter) {
    SolveStatistics statistics{.stepper = "Dormand-Prince 5(4), dense output"};
    DormandPrinceStep stepper(system, options, statistics);
    State y(system.size()), at(system.size());
    system.start(y);
    reporter.report(segments.front().begin_s, y);
    double step_s = 1.0;
    for (const Segment& segment : segments) {
        system.set_segment(segment);
        double now_s = segment.begin_s;
        while (now_s < segment.end_s) {
            const double left_s = segment.end_s - now_s;
            const double reached_s = stepper.take(y, now_s, std::min(step_s, left_s));
            const bool reaches_end = reached_s >= segment.end_s * (1.0 - 1e-15);
            const double end_s = reaches_end ? segment.end_s : reached_s;
            if (end_s - now_s < kSmallestStepS && left_s > kSmallestStepS)
                stop(system, now_s, y, fmt::format("no step down to {:.0e} s was accepted", kSmallestStepS));
            for (const double out_s : reporter.times_before(end_s)) {
                stepper.state_at(out_s, at);
                reporter.report(out_s, at);
            }
            y = stepper.state();
            now_s = end_s;
            // A step cut short by the segment's end says nothing about the step the solution would allow.
            step_s = reaches_end ? std::max(step_s, stepper.next_step_s()) : stepper.next_step_s();
            if (statistics.accepted_steps + statistics.rejected_steps > options.largest_step_count)
                stop(system, now_s, y, fmt::format("{} steps did not reach the end", options.largest_step_count));
        }
        reporter.report(segment.end_s, y);
    }
    return statistics;
}

}  // namespace bakewright::thermal
