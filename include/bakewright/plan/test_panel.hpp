// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/cycle.hpp"
#include "bakewright/bake/shell.hpp"
#include "bakewright/cure/verdict.hpp"
#include "bakewright/plan/task.hpp"

namespace bakewright::plan {

/// Which zone of a shell the free panel shall stand for.
enum class PanelFor { worst, mean, best };

/// The dose of a shell's coated zones in a bake: the smallest, the mean or the largest at the middle of the band, with the zone
/// it belongs to (for the mean: no zone, and the mean of each end of the band too). The panel's own is left out.
struct ZoneDose {
    cure::Band dose;
    std::string zone;
};
/// @throws InputError where no zone was judged or none got any dose
[[nodiscard]] ZoneDose dose_for_panel(const cure::BakeVerdict& verdict, PanelFor which);

/// The cycle that gives a free panel the dose of a zone.
struct PanelPlan {
    bool found = false;
    double setpoint_k = 0.0, hold_s = 0.0;
    /// Where nothing was found: even there the shortest hold is too much or the longest too little.
    double coolest_tried_k = 0.0;
    bake::Cycle cycle;
    bake::Prediction prediction;
    cure::Band dose;  ///< of the panel, by that prediction
};

/// The cycle for a panel alone in a booth or bench oven: at the hottest set point of the options at which some hold of theirs
/// does, the hold for which the panel's dose at the middle of the band is the one asked for, as the root of the difference
/// (Boost.Math, TOMS 748), within 1e-4 of the dose; kept to whole seconds. Where activation energies of the band disagree with
/// each other, the panel matches at the middle alone: it is hotter for shorter than a slow zone.
/// @param task     its shell has one coated zone, the panel
/// @param target   > 0
/// @throws InputError as plan_cycle(), or for a shell that is no panel
[[nodiscard]] PanelPlan plan_test_panel(const PlanTask& task, const PlanOptions& options, double target);

}  // namespace bakewright::plan
