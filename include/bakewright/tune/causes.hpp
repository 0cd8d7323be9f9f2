// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "bakewright/tune/task.hpp"

namespace bakewright::tune {

/// What may make a prediction differ from a log, and how much of the difference it alone would explain.
struct Cause {
    enum class Kind { air, film, mass, links, loose_probe, probe_offset } kind = Kind::film;
    std::string channel;     ///< of a probe
    double value = 0.0;      ///< air, probe_offset: kelvins; film, mass, links: factor; loose_probe: share of the air
    double explained = 0.0;  ///< share of the mean square over all channels that it would take away, 0 to 1
};

/// Causes by what they explain, most first; each alone, to first order about the records. A hint, not a finding: two causes may
/// have one pattern. Those that explain less than a twentieth are left out, and probes that would read less than no air.
/// @throws InputError where the bake has no channel of the shell's, or nothing to drive the model; SolveError
[[nodiscard]] std::vector<Cause> likely_causes(const bake::Shell& shell, const bake::Booth& booth, const LoggedBake& bake);

}  // namespace bakewright::tune
