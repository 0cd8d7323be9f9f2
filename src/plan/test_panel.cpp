// SPDX-License-Identifier: Apache-2.0
#include "bakewright/plan/test_panel.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/dose.hpp"
#include "bakewright/cure/rule.hpp"
#include "setpoint_run.hpp"

namespace bakewright::plan {
namespace {

constexpr double kHoldErrorS = 0.5;

cure::Band dose_of(const TraceSet& traces, const std::string& panel, const cure::CoatingCurves& curves) {
    const bool is_air = curves.coating.basis == cure::ScheduleBasis::booth_air;
    const Trace* trace = is_air ? traces.first(TraceRole::booth_air) : traces.find(panel);
    return cure::dose_band(*trace, curves.minimum).dose;
}

/// The hold that gives the dose; nothing where the shortest is too much or the longest too little.
std::optional<double> hold_for(const SearchModel& model, const cure::CoatingCurves& curves, double setpoint_k, double target) {
    const PlanOptions& options = model.options();
    SetpointRun run(model, {setpoint_k, model.shape().ramp_k_per_s(), options.longest_hold_s});
    const auto over = [&](double hold_s) {
        const double value = dose_of(run.bake(hold_s).traces, model.coated().front(), curves).at_value / target - 1.0;
        return value == 0.0 ? 1e-15 : value;
    };
    const double shortest = over(options.shortest_hold_s), longest = over(options.longest_hold_s);
    if (shortest > 1e-4 || longest < -1e-4) return std::nullopt;
    if (shortest >= 0.0 || longest <= 0.0) return shortest >= 0.0 ? options.shortest_hold_s : options.longest_hold_s;
    const auto near = [](double a, double b) { return std::abs(a - b) <= kHoldErrorS; };
    std::uintmax_t iterations = 60;
    const auto [low_s, high_s] = boost::math::tools::toms748_solve(over, options.shortest_hold_s, options.longest_hold_s,
                                                                   shortest, longest, near, iterations);
    return std::round(0.5 * (low_s + high_s));
}

}  // namespace

ZoneDose dose_for_panel(const cure::BakeVerdict& verdict, PanelFor which) {
    std::vector<const cure::ZoneVerdict*> zones;
    for (const cure::ZoneVerdict& zone : verdict.zones)
        if (zone.role == TraceRole::zone && zone.word != cure::Word::not_judged) zones.push_back(&zone);
    if (zones.empty()) throw InputError(Problem{{}, 0, "bake", "has no zone of a shell that could be judged"});
    const auto less = [](const cure::ZoneVerdict* a, const cure::ZoneVerdict* b) { return a->dose.at_value < b->dose.at_value; };
    ZoneDose found;
    if (which == PanelFor::mean) {
        const double share = 1.0 / static_cast<double>(zones.size());
        for (const cure::ZoneVerdict* zone : zones) {
            found.dose.at_low += share * zone->dose.at_low;
            found.dose.at_value += share * zone->dose.at_value;
            found.dose.at_high += share * zone->dose.at_high;
        }
    } else {
        const auto [worst, best] = std::minmax_element(zones.begin(), zones.end(), less);
        const cure::ZoneVerdict& zone = which == PanelFor::worst ? **worst : **best;
        found = {zone.dose, zone.zone};
    }
    if (found.dose.at_value <= 0.0)
        throw InputError(Problem{{}, 0, "bake", "gave that zone no dose at all: there is nothing a panel could match"});
    return found;
}

PanelPlan plan_test_panel(const PlanTask& task, const PlanOptions& options, double target) {
    refuse_problems(task, options);
    if (task.shell.coated_zone_names().size() != 1)
        throw InputError(Problem{{},
                                 0,
                                 "shell",
                                 fmt::format("'{}' is no test panel: it has {} coated zones, a panel has one", task.shell.id,
                                             task.shell.coated_zone_names().size())});
    const SearchModel model(task, options);
    const cure::CoatingCurves curves(task.coating);
    std::vector<double> setpoints_k = setpoints_to_try(task, options);
    PanelPlan plan;
    plan.coolest_tried_k = setpoints_k.front();
    for (auto at = setpoints_k.rbegin(); at != setpoints_k.rend() && !plan.found; ++at) {
        const std::optional<double> hold_s = hold_for(model, curves, *at, target);
        if (!hold_s) continue;
        plan.found = true;
        plan.setpoint_k = *at;
        plan.hold_s = *hold_s;
        const Settings set{*at, model.shape().ramp_k_per_s(), *hold_s};
        plan.cycle = model.shape().cycle(set, model.shape().fall_s(set));
        plan.prediction = model.predict(plan.cycle);
        plan.dose = dose_of(plan.prediction.traces, model.coated().front(), curves);
    }
    return plan;
}

}  // namespace bakewright::plan
