// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <map>
#include <string>
#include <vector>

#include "bakewright/plan/task.hpp"

namespace bakewright::plan {

/// Where a bake stands that was cut short.
struct BrokenBake {
    TraceSet so_far;                       ///< every place of the shell from the bake's start to its end, which is time 0
    std::map<std::string, double> node_k;  ///< the network's nodes at its end, see bake::PredictOptions::node_start_k
    std::vector<std::string> measured;     ///< places whose log counts; the others are the model's, driven by the measured air
    double lasted_s = 0.0;
};

/// Reads the state of a shell out of the log of an interrupted bake: the model is driven by the measured air; where a zone or
/// item was measured (without a gap longer than is bridged) its log counts for what was had, and the model's nodes of it are
/// shifted to its last sample.
/// @param predict  start of the shell where no zone was measured
/// @throws InputError where the log has no booth air
[[nodiscard]] BrokenBake broken_bake(const bake::Shell& shell, const bake::Booth& booth, const TraceSet& log,
                                     const bake::PredictOptions& predict);

/// The traces of a bake behind those of the one it goes on with; a place that one side lacks is left out.
/// @param before  null: nothing was before
[[nodiscard]] TraceSet gone_on(const TraceSet* before, const TraceSet& traces);

/// Volumes of fresh air that are to be run through before the burner is lit again: the common figure; NFPA 86 and the booth's
/// maker rule.
inline constexpr double kPurgeVolumes = 4.0;
/// The vapour purge of every cycle planned for a booth [s]: as asked; else as its profile says; else four volumes by its purge
/// flow, up to a whole minute. 0 where the booth purges by itself, and only there.
/// @throws InputError where 0 is asked of a booth that does not purge by itself, or nobody says how long
[[nodiscard]] double purge_time_s(const bake::Booth& booth, const std::optional<double>& asked_s = {});

/// The zones that are not yet cured by what was had. Empty: the job is done.
[[nodiscard]] std::vector<cure::ZoneVerdict> not_yet_cured(const PlanTask& task);

}  // namespace bakewright::plan
