// SPDX-License-Identifier: Apache-2.0
#include "bakewright/thermal/solve.hpp"

#include "bakewright/base/error.hpp"
#include "rate_system.hpp"
#include "solve_segments.hpp"

namespace bakewright::thermal {

SolveStatistics solve(const Network& network, std::span<const Segment> segments, const SolveOptions& options,
                      const StateObserver& observer) {
    options.check();
    ensure(!segments.empty(), "a solve has at least one segment");
    RateSystem<double> system(network, options.with_accounts ? Accounts::keep : Accounts::leave_out);
    SolveReporter reporter(system, observer, segments.front().begin_s, options.output_interval_s);
    if (!network.heaters().empty()) return solve_switching(network, system, segments, options, reporter);
    return solve_rosenbrock(system, segments, options, reporter);
}

}  // namespace bakewright::thermal
