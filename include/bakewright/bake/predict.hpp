// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/bake/built_network.hpp"
#include "bakewright/bake/cycle.hpp"
#include "bakewright/base/trace.hpp"

namespace bakewright::bake {

/// Heat moved during a bake [J], for the energy account. Positive into the shell.
struct HeatAccount {
    double convection_j = 0.0;
    double radiation_j = 0.0;
    double infrared_j = 0.0;
    double stored_j = 0.0;   ///< change of heat stored in shell, cavities and items
    double closure_j = 0.0;  ///< what in, less what stored: how far the account is from closing
};

/// What a booth's burner and air did, where they were solved for.
struct BoothRun {
    double burner_j = 0.0;            ///< heat from the burner
    double fresh_air_j = 0.0;         ///< heat lost with the air that was driven out, against the fresh air that came in
    double wall_loss_j = 0.0;         ///< heat lost through walls, ceiling and a floor of panels
    double shell_j = 0.0;             ///< heat into the shell from air and walls
    double stored_j = 0.0;            ///< change of heat stored in the booth's air, walls, ceiling and floor
    double closure_j = 0.0;           ///< burner, less all the others: how far the account is from closing
    double largest_power_w = 0.0;     ///< mean over an output interval
    double full_power_s = 0.0;        ///< time with the burner at its largest power (99 % of it, by output interval)
    double pulsing_s = 0.0;           ///< time under its least steady power, but not out
    std::size_t starts = 0;           ///< how often an on-off burner was lit, as far as it was followed: 500 at most
    std::optional<double> tripped_s;  ///< when the high limit tripped
};

/// What was asked and what was done; starts as "not run yet".
struct RunSummary {
    bool ran = false;
    std::string stepper;
    std::size_t nodes = 0;
    std::size_t accepted_steps = 0;
    std::size_t rejected_steps = 0;
    std::size_t rate_evaluations = 0;
    double compute_s = 0.0;  ///< wall time of the solve
    std::vector<SplitZone> splits;
    HeatAccount heat;
    double surfaces_j = 0.0;  ///< heat from the air into walls, ceiling and floor; what they radiate into the shell comes of it
    std::optional<BoothRun> booth;
};

/// A predicted bake.
struct Prediction {
    TraceSet traces;  ///< booth air, walls, ceiling, floor, zones, cavities, items; test panel where the shell has one
    std::vector<ResolvedStage> stages;
    RunSummary summary;
    std::map<std::string, double> node_end_k{};  ///< every node of the network at the end, by its name
};

/// Predicts every temperature for a shell baked with a cycle in a booth. With an ideal controller the air is where the set point
/// is; with any other, air, walls and burner are solved for together with the shell, which slows them.
/// @throws InputError for records with problems; SolveError where the numbers give out.
[[nodiscard]] Prediction predict(const Shell& shell, const Booth& booth, const Cycle& cycle, const PredictOptions& options = {});

/// The same, driven by a measured air trace (replay): the booth's own air model is not used, its walls, ceiling, floor and
/// vertical profile are. Surfaces that were measured as well take the place of their balances, see surface_traces().
[[nodiscard]] Prediction predict_from_air(const Shell& shell, const Booth& booth, const Trace& air,
                                          const PredictOptions& options = {}, const SurfaceTraces& surfaces = {});

/// The same, driven by measured walls alone: the air is solved for between them, the shell and the fresh air of bake mode.
[[nodiscard]] Prediction predict_from_surfaces(const Shell& shell, const Booth& booth, const SurfaceTraces& surfaces,
                                               const PredictOptions& options = {});

}  // namespace bakewright::bake
