// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <span>

#include "bakewright/thermal/network.hpp"
#include "bakewright/thermal/solve_options.hpp"

namespace bakewright::thermal {

/// Integrates a network over its segments, each exactly from begin to end: no step reaches over a segment's end, where the
/// right-hand side has a corner. The observer is told the start, every multiple of the output interval and every segment's end,
/// in order of time, each moment once.
/// The stepper is linearly implicit, of order 4 (docs/solvers.md). Heaters that switch, and controllers that reach or leave a
/// limit, do so within a microsecond of their moment, found on the dense output; a step never reaches over it. A controller
/// counts as past its limit where it is so by a fifth of the tolerance. Every step is checked finite. @throws SolveError naming
/// the simulated time and the three fastest nodes where no step is accepted, a state is not finite or the step count passes its
/// ceiling. Promise: segments follow each other without a gap.
SolveStatistics solve(const Network& network, std::span<const Segment> segments, const SolveOptions& options,
                      const StateObserver& observer);

}  // namespace bakewright::thermal
