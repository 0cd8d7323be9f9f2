#include <fmt/format.h>

#include <array>
#include <boost/math/tools/roots.hpp>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <functional>

#include "bakewright/base/error.hpp"
#include "bakewright/thermal/steppers/dense_output_stepper.hpp"
#include "bakewright/thermal/steppers/rosenbrock_stepper.hpp"
#include "heater_switches.hpp"
#include "solve_report.hpp"

namespace bakewright::thermal {
namespace {

/// A switch is thrown within so much of its moment [s], and counts as due so close [K] to its level.
constexpr double kMomentS = 1e-6;
constexpr double kNearLevelK = 1e-6;
/// Shares of a step at which switches are looked at: one that crosses its level and comes back in between stays unseen.
constexpr std::array<double, 4> kLooks{0.25, 0.5, 0.75, 1.0};

using Stepper = DenseOutputStepper<RosenbrockStepper<double>>;

/// Goes through one segment, stopping wherever a heater switches.
class SwitchingSegment {
public:
    SwitchingSegment(Stepper& stepper, RateSystem<double>& system, HeaterSwitches& switches, SolveReporter& reporter,
                     std::vector<HeaterSwitch>& noted)
        : stepper_(stepper), system_(system), switches_(switches), reporter_(reporter), noted_(noted), at_(system.size()) {}

    void run(const Segment& segment, std::vector<double>& y) {
        switches_.begin(segment.begin_s, y, noted_);
        double now_s = segment.begin_s;
        while (now_s < segment.end_s) {
            stepper_.initialize(y, now_s, 0.0);
            stepper_.stop_at(segment.end_s);
            now_s = go_to_next_switch(segment.end_s);
            stepper_.calc_state(now_s, y);
            switches_.switch_due(now_s, y, kNearLevelK, noted_);
        }
        reporter_.report(segment.end_s, y);
    }

private:
    /// Steps until a switch is due or the segment ends; returns that moment, which lies in the stepper's last step.
    double go_to_next_switch(double end_s) {
        for (;;) {
            stepper_.do_step(std::cref(system_));
            const double stop_s = first_due_s();
            for (const double out_s : reporter_.times_before(std::min(stop_s, stepper_.current_time()))) {
                stepper_.calc_state(out_s, at_);
                reporter_.report(out_s, at_);
            }
            if (std::isfinite(stop_s)) return stop_s;
            if (stepper_.current_time() >= end_s) return end_s;
        }
    }
    [[nodiscard]] double overdue_k(double time_s) {
        stepper_.calc_state(time_s, at_);
        return switches_.most_overdue_k(time_s, at_);
    }
    /// First moment in the last step at which a switch is due; infinite where none is.
    [[nodiscard]] double first_due_s() {
        const double begin_s = stepper_.previous_time();
        const double step_s = stepper_.current_time() - begin_s;
        double before_s = begin_s;
        for (const double share : kLooks) {
            const double look_s = share == 1.0 ? stepper_.current_time() : begin_s + share * step_s;
            if (overdue_k(look_s) >= 0.0) return moment_between_s(before_s, look_s);
            before_s = look_s;
        }
        return HUGE_VAL;
    }
    [[nodiscard]] double moment_between_s(double before_s, double due_s) {
        const auto overdue = [this](double time_s) { return overdue_k(time_s); };
        if (overdue(before_s) >= 0.0) return due_s;
        const auto near = [](double a, double b) { return std::abs(a - b) <= kMomentS; };
        std::uintmax_t iterations = 100;
        return boost::math::tools::toms748_solve(overdue, before_s, due_s, near, iterations).second;
    }

    Stepper& stepper_;
    RateSystem<double>& system_;
    HeaterSwitches& switches_;
    SolveReporter& reporter_;
    std::vector<HeaterSwitch>& noted_;
    std::vector<double> at_;
};

/// What a painter can change about a run that came to nothing for its heater's sake; empty where that is not why.
std::string advice(std::size_t crossings) {
    constexpr std::size_t many = 100;
    if (crossings < many) return {};
    return fmt::format(
        "; the burner ran into its limits {} times by then: give its controller a longer integral time or a smaller "
        "gain, or the bake fewer hours",
        crossings);
}

}  // namespace

SolveStatistics solve_switching(const Network& network, RateSystem<double>& system, std::span<const Segment> segments,
                                const SolveOptions& options, SolveReporter& reporter) {
    SolveStatistics statistics;
    Stepper stepper(rosenbrock_options(options));
    HeaterSwitches switches(network, system, options.absolute_tolerance_k);
    std::vector<double> y(system.size());
    system.start(y);
    system.heaters().reset();
    system.set_segment(segments.front());
    reporter.report(segments.front().begin_s, y);
    SwitchingSegment run(stepper, system, switches, reporter, statistics.switches);
    try {
        for (const Segment& segment : segments) {
            system.set_segment(segment);
            run.run(segment, y);
        }
    } catch (const SolveError& error) {
        throw SolveError(error.what() + advice(switches.crossing_count()));
    }
    const WorkCounts work = stepper.work();
    statistics.stepper = kRosenbrockTitle;
    statistics.accepted_steps = work.accepted_steps;
    statistics.rejected_steps = work.rejected_steps;
    statistics.rate_evaluations = work.rate_evaluations;
    return statistics;
}

}  // namespace bakewright::thermal
