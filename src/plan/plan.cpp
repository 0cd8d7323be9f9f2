#include "bakewright/plan/plan.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <iterator>

#include "cycle_trial.hpp"
#include "plan_task.hpp"

namespace bakewright::plan {
namespace {

using cure::Word;

/// The shortest hold in whole minutes that cures every coated zone; a longer hold never shortens a stay or lowers a dose, so
/// bisection finds it.
std::optional<double> shortest_hold_s(const TrialRunner& runner, double setpoint_k, const Trial& longest,
                                      const PlanOptions& options) {
    if (!longest.cured(options.rule)) return std::nullopt;
    int low = 0;  // not known to cure
    int high = static_cast<int>(options.longest_hold_s / kSecondPerMinute);
    while (high - low > 1) {
        const int middle = (low + high) / 2;
        (runner.run(setpoint_k, middle * kSecondPerMinute).cured(options.rule) ? high : low) = middle;
    }
    return high * kSecondPerMinute;
}

Candidate candidate(const TrialRunner& runner, double setpoint_k, const PlanOptions& options) {
    Trial trial = runner.run(setpoint_k, options.longest_hold_s);
    Candidate made;
    made.setpoint_k = setpoint_k;
    made.hold_s = shortest_hold_s(runner, setpoint_k, trial, options);
    if (made.hold_s) trial = runner.run(setpoint_k, *made.hold_s);
    const double hold_s = made.hold_s.value_or(options.longest_hold_s);
    made.booth_time_s = runner.begin_of_cool_s(setpoint_k, hold_s) + trial.cool_s;
    made.feasible = made.hold_s.has_value() && trial.all_good();
    const auto bad = [](const auto& verdict) { return verdict.word != Word::good; };
    std::copy_if(trial.verdict.zones.begin(), trial.verdict.zones.end(), std::back_inserter(made.bad_zones), bad);
    std::copy_if(trial.verdict.items.begin(), trial.verdict.items.end(), std::back_inserter(made.bad_items), bad);
    made.warnings = trial.verdict.warnings;
    return made;
}

std::string slowest_zone(const cure::BakeVerdict& verdict) {
    const auto slowest = std::min_element(
        verdict.zones.begin(), verdict.zones.end(),
        [](const cure::ZoneVerdict& a, const cure::ZoneVerdict& b) { return a.dose.at_value < b.dose.at_value; });
    return slowest == verdict.zones.end() ? std::string{} : slowest->zone;
}

/// The coolest feasible set point whose booth time is nearly the shortest.
std::optional<std::size_t> choose(const std::vector<Candidate>& candidates) {
    double shortest_s = HUGE_VAL;
    for (const Candidate& tried : candidates)
        if (tried.feasible) shortest_s = std::min(shortest_s, tried.booth_time_s);
    for (std::size_t i = 0; i < candidates.size(); ++i)
        if (candidates[i].feasible && candidates[i].booth_time_s <= shortest_s * (1.0 + kNearlyShortest)) return i;
    return std::nullopt;
}

bool spares_everything(const Candidate& candidate) {
    return candidate.bad_items.empty() && std::none_of(candidate.bad_zones.begin(), candidate.bad_zones.end(),
                                                       [](const cure::ZoneVerdict& zone) { return zone.word == Word::over; });
}

void name_conflict(Plan& plan) {
    for (std::size_t i = 0; i < plan.candidates.size(); ++i) {
        if (!plan.coolest_that_cures && plan.candidates[i].hold_s) plan.coolest_that_cures = i;
        if (spares_everything(plan.candidates[i])) plan.hottest_that_spares = i;
    }
}

}  // namespace

void PlanOptions::check() const {
    std::vector<Problem> found;
    const auto require = [&](bool holds, const char* key, const char* accepted) {
        if (!holds) found.push_back({{}, 0, key, fmt::format("is out of range, accepted is {}", accepted)});
    };
    require(lowest_setpoint_k >= celsius_to_kelvin(0.0) && lowest_setpoint_k <= celsius_to_kelvin(250.0), "lowest set point",
            "0 to 250 degC");
    require(!highest_setpoint_k || *highest_setpoint_k >= lowest_setpoint_k, "highest set point", "the lowest set point or more");
    require(setpoint_step_k >= 0.1 && setpoint_step_k <= 20.0, "set point step", "0.1 to 20 K");
    require(longest_hold_s >= kSecondPerMinute && longest_hold_s <= 48.0 * kSecondPerHour, "longest hold", "1 min to 48 h");
    require(!flash_off_s || (*flash_off_s >= 0.0 && *flash_off_s <= 24.0 * kSecondPerHour), "flash-off", "0 s to 24 h");
    require(ramp_k_per_s >= 0.01 / 60.0 && ramp_k_per_s <= 1.0, "ramp", "0.01 to 60 K/min");
    require(handling_k >= celsius_to_kelvin(0.0) && handling_k <= celsius_to_kelvin(100.0), "handling temperature",
            "0 to 100 degC");
    if (!found.empty()) throw InputError(std::move(found));
    predict.check();
}

Plan plan_cycle(const PlanTask& task, const PlanOptions& options) {
    refuse_problems(task, options);
    const TrialRunner runner(task, options);
    const std::vector<double> setpoints_k = setpoints_to_try(task, options);
    Plan plan;
    for (std::size_t i = 0; i < setpoints_k.size(); ++i) {
        plan.candidates.push_back(candidate(runner, setpoints_k[i], options));
        const double share = static_cast<double>(i + 1) / static_cast<double>(setpoints_k.size());
        if (options.progress && !options.progress(share)) {
            plan.complete = false;
            break;
        }
    }
    plan.best = choose(plan.candidates);
    if (plan.best) {
        const Candidate& best = plan.candidates[*plan.best];
        const double cool_s = best.booth_time_s - runner.begin_of_cool_s(best.setpoint_k, *best.hold_s);
        Trial trial = runner.finish(best.setpoint_k, *best.hold_s, cool_s);
        plan.feasible = trial.all_good();
        plan.slowest_zone = slowest_zone(trial.verdict);
        plan.cycle = std::move(trial.cycle);
        plan.prediction = std::move(trial.prediction);
        plan.verdict = std::move(trial.verdict);
    }
    if (!plan.feasible) name_conflict(plan);
    return plan;
}

}  // namespace bakewright::plan
