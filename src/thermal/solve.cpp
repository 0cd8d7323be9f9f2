#include "bakewright/thermal/solve.hpp"

#include <cmath>

#include "bakewright/base/error.hpp"
#include "bakewright/thermal/rate_system.hpp"
#include "bakewright/thermal/steppers/choose_stepper.hpp"
#include "bakewright/thermal/steppers/spectral_radius.hpp"
#include "solve_report.hpp"

namespace bakewright::thermal {
namespace {

/// So few entries a row on average, and factors stay sparse whatever the order: the rule need not be worked out.
constexpr std::size_t kSparseRow = 20;

SolveOptions::Method method_by_rule(RateSystem<double>& system, std::span<const Segment> segments) {
    if (system.pattern().entry_count() <= kSparseRow * system.size()) return SolveOptions::Method::rosenbrock;
    std::vector<double> y(system.size()), jacobian(system.pattern().entry_count());
    system.start(y);
    system.set_segment(segments.front());
    system.jacobian(segments.front().begin_s, y, jacobian);
    const double radius_per_s = gershgorin_bound_per_s<double>(system.pattern(), jacobian);
    const double span_s = segments.back().end_s - segments.front().begin_s;
    if (!std::isfinite(radius_per_s)) return SolveOptions::Method::rosenbrock;
    return choose_stepper(system.pattern(), radius_per_s, span_s) == StepperKind::chebyshev ? SolveOptions::Method::chebyshev
                                                                                            : SolveOptions::Method::rosenbrock;
}

}  // namespace

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
    RateSystem<double> system(network, options.with_accounts ? Accounts::keep : Accounts::leave_out);
    SolveReporter reporter(system, observer, segments.front().begin_s, options.output_interval_s);
    using Method = SolveOptions::Method;
    ensure(!network.has_switches() || options.method == Method::by_rule || options.method == Method::rosenbrock,
           "heaters that switch are solved with the Rosenbrock stepper");
    if (!network.heaters().empty() && (options.method == Method::by_rule || options.method == Method::rosenbrock)) {
        return solve_switching(network, system, segments, options, reporter);
    }
    switch (options.method == Method::by_rule ? method_by_rule(system, segments) : options.method) {
        case Method::chebyshev:
            return solve_chebyshev(system, segments, options, reporter);
        case Method::dormand_prince:
            return solve_dormand_prince(system, segments, options, reporter);
        default:
            return solve_rosenbrock(system, segments, options, reporter);
    }
}

}  // namespace bakewright::thermal
