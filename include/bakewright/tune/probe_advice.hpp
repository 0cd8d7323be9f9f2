// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/cycle.hpp"
#include "bakewright/bake/shell.hpp"
#include "bakewright/bake/uncertainty.hpp"

namespace bakewright::tune {

/// Where nothing was tuned: common practice, no source. Tuned on the rods of docs/real-logs.md 1.2 K are left that stay alike for
/// an hour, on the demo's invented log 0.2 K for a minute; a booth lies between.
inline constexpr double kUsualResidual_k = 0.5, kUsualResidual_s = 600.0;

struct AdviceOptions {
    bake::Uncertainty prior{};      ///< of numbers that were not learned
    double probe_standard_k = 1.0;  ///< standard uncertainty of a probe's offset, > 0
    /// What a sample differs by from the best model, > 0, and how long that stays alike, >= 0: what was left when shell or booth
    /// were tuned, else kUsualResidual_k and kUsualResidual_s.
    std::optional<double> residual_k{}, residual_time_s{};
    std::vector<std::string> probed{};  ///< zones that have a probe already
    std::size_t most_probes = 4;        ///< how many to place, one after the other
};

/// One place for a probe.
struct AdvisedProbe {
    std::string zone;
    double own_before_k = 0.0,
           own_after_k = 0.0;  ///< standard deviation of the zone's own prediction, root mean square over time
    double all_before_k = 0.0, all_after_k = 0.0;  ///< the same over all coated zones
    std::string teaches;                           ///< the number whose uncertainty shrinks most, for people
};

struct ProbeAdvice {
    std::vector<AdvisedProbe> order;                 ///< one probe after the other, each where it then teaches most
    std::vector<AdvisedProbe> first;                 ///< every zone, were it the next: best first
    double residual_k = 0.0, residual_time_s = 0.0;  ///< as reckoned with
    std::string residual_origin;                     ///< where they are from, for people
};

/// Where the next probe teaches most: by how much the width of all coated zones' predictions shrinks once a probe on the zone has
/// logged one such bake, a sample a minute. What samples are off by follows a first-order series, so that neighbours say less
/// than as many that know nothing of each other: covariance residual_k^2 exp(-|t - t'| / residual_time_s) (Bayley & Hammersley,
/// J. R. Stat. Soc. Suppl. 8 (1946) 184). Linearised about the records as they are; numbers as believed, learned ones with their
/// errors and correlations. Source: D-optimal design's cousin that weighs predictions, I-optimality (Atkinson, Donev & Tobias,
/// Optimum Experimental Designs, with SAS (2007), ch. 10, from memory); greedy, one probe after the other.
/// @throws InputError for records with problems, a probed zone that the shell does not have; SolveError
[[nodiscard]] ProbeAdvice probe_advice(const bake::Shell& shell, const bake::Booth& booth, const bake::Cycle& cycle,
                                       const AdviceOptions& options = {});

}  // namespace bakewright::tune
