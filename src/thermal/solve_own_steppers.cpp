#include "bakewright/thermal/steppers/chebyshev_stepper.hpp"
#include "bakewright/thermal/steppers/choose_stepper.hpp"
#include "bakewright/thermal/steppers/integrate_segment.hpp"
#include "bakewright/thermal/steppers/rosenbrock_stepper.hpp"
#include "solve_report.hpp"

namespace bakewright::thermal {
namespace {

/// Goes through the segments with one stepper for the whole run: what it worked out for the network is worked out once, and no
/// segment allocates.
template <class Stepper>
SolveStatistics step_through(DenseOutputStepper<Stepper>& stepper, RateSystem<double>& system, std::span<const Segment> segments,
                             SolveReporter& reporter, const char* title) {
    std::vector<double> y(system.size());
    system.start(y);
    system.set_segment(segments.front());
    reporter.report(segments.front().begin_s, y);
    const auto report = [&](double time_s, std::span<const double> at) { reporter.report(time_s, at); };
    for (std::size_t s = 0; s < segments.size(); ++s) {
        const Segment& segment = segments[s];
        system.set_segment(segment);
        SegmentOptions how;
        how.carries_step = s > 0 && goes_on(segments[s - 1], segment);
        const std::span<double> state(y);
        integrate_segment(stepper, system, state, segment.begin_s, segment.end_s, how, reporter.times_before(segment.end_s),
                          report);
        reporter.report(segment.end_s, y);
    }
    const WorkCounts work = stepper.work();
    return {title, work.accepted_steps, work.rejected_steps, work.rate_evaluations, {}};
}

}  // namespace

bool goes_on(const Segment& before, const Segment& now) {
    constexpr double longest_sample_s = 60.0;
    return now.end_s - now.begin_s <= longest_sample_s && now.end_s - now.begin_s <= 2.0 * (before.end_s - before.begin_s) &&
           before.mode == now.mode && before.source_w == now.source_w && before.boundary_end_k == now.boundary_begin_k;
}

StepOptions rosenbrock_options(const SolveOptions& options) {
    StepOptions made;
    made.absolute_tolerance = options.absolute_tolerance_k;
    made.relative_tolerance = options.relative_tolerance;
    made.smallest_step_s = kShortestImplicitStepS;
    made.step_ceiling = options.largest_step_count;
    made.ceiling_spans_restarts = true;
    return made;
}

SolveStatistics solve_rosenbrock(RateSystem<double>& system, std::span<const Segment> segments, const SolveOptions& options,
                                 SolveReporter& reporter) {
    DenseOutputStepper<RosenbrockStepper<double>> stepper(rosenbrock_options(options));
    return step_through(stepper, system, segments, reporter, kRosenbrockTitle);
}

SolveStatistics solve_chebyshev(RateSystem<double>& system, std::span<const Segment> segments, const SolveOptions& options,
                                SolveReporter& reporter) {
    // The tolerances are those of the Rosenbrock stepper; this one adds up more errors and needs tighter ones for the same run.
    const double share = tolerance_for_error(StepperKind::chebyshev, 1.0) / tolerance_for_error(StepperKind::rosenbrock, 1.0);
    StepOptions step = rosenbrock_options(options);
    step.absolute_tolerance *= share;
    step.relative_tolerance *= share;
    DenseOutputStepper<ChebyshevStepper<double>> stepper(step);
    return step_through(stepper, system, segments, reporter, "Chebyshev 2(2), RKC, stabilised explicit, dense output");
}

}  // namespace bakewright::thermal
