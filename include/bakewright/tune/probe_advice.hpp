#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/cycle.hpp"
#include "bakewright/bake/shell.hpp"
#include "bakewright/bake/uncertainty.hpp"

namespace bakewright::tune {

struct AdviceOptions {
    bake::Uncertainty prior{};          ///< of numbers that were not learned
    double probe_standard_k = 1.0;      ///< standard uncertainty of a probe's offset, > 0
    double noise_k = 0.3;               ///< of a sample, > 0; samples count once a minute
    std::vector<std::string> probed{};  ///< zones that have a probe already
    std::size_t most_probes = 4;        ///< how many to place, one after the other
};

/// One place for a probe.
struct ProbePlace {
    std::string zone;
    double own_before_k = 0.0,
           own_after_k = 0.0;  ///< standard deviation of the zone's own prediction, root mean square over time
    double all_before_k = 0.0, all_after_k = 0.0;  ///< the same over all coated zones
    std::string teaches;                           ///< the number whose uncertainty shrinks most, for people
};

struct ProbeAdvice {
    std::vector<ProbePlace> order;  ///< one probe after the other, each where it then teaches most
    std::vector<ProbePlace> first;  ///< every zone, were it the next: best first
};

/// Where the next probe teaches most: by how much the width of all coated zones' predictions shrinks once a probe on the zone has
/// logged one such bake. Linearised about the records as they are; numbers as believed, learned ones with their errors and
/// correlations. Source: D-optimal design's cousin that weighs predictions, I-optimality (Atkinson, Donev & Tobias, Optimum
/// Experimental Designs, with SAS (2007), ch. 10, from memory); greedy, one probe after the other.
/// @throws InputError for records with problems, a probed zone that the shell does not have; SolveError
[[nodiscard]] ProbeAdvice probe_advice(const bake::Shell& shell, const bake::Booth& booth, const bake::Cycle& cycle,
                                       const AdviceOptions& options = {});

}  // namespace bakewright::tune
