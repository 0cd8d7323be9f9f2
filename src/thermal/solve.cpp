#include "bakewright/thermal/solve.hpp"

#include <cmath>

#include "bakewright/base/error.hpp"
#include "bakewright/thermal/rate_system.hpp"
#include "solve_report.hpp"

namespace bakewright::thermal {

void SolveOptions::check() const {
    ensure(relative_tolerance >= 1e-12 && relative_tolerance <= 1e-2, "the relative tolerance is 1e-12 to 1e-2");
    ensure(absolute_tolerance_k >= 1e-9 && absolute_tolerance_k <= 1.0, "the absolute tolerance is 1e-9 to 1 K");
    ensure(std::isfinite(output_interval_s) && output_interval_s > 0.0, "the output interval is positive");
    ensure(largest_step_count > 0, "the ceiling on steps is positive");
}

SolveStatistics solve(const Network& network, std::span<const Segment> segments, const SolveOptions& options,
                      const StateObserver& observer) {
    options.check();
    ensure(!segments.empty(), "a solve has at least one segment");
    RateSystem<double> system(network);
    SolveReporter reporter(system, observer, segments.front().begin_s, options.output_interval_s);
    if (network.has_switches()) {
        ensure(options.method == SolveOptions::Method::rosenbrock, "heaters that switch are solved with the Rosenbrock stepper");
        return solve_switching(network, system, segments, options, reporter);
    }
    return options.method == SolveOptions::Method::rosenbrock ? solve_rosenbrock(system, segments, options, reporter)
                                                              : solve_dormand_prince(system, segments, options, reporter);
}

}  // namespace bakewright::thermal
