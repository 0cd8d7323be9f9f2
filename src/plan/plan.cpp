// SPDX-License-Identifier: Apache-2.0
#include "bakewright/plan/plan.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "bakewright/base/error.hpp"
#include "bakewright/base/work.hpp"
#include "hold_search.hpp"
#include "offers.hpp"
#include "requirements.hpp"

namespace bakewright::plan {
namespace {

void refuse_settings(const bake::Booth& booth, double setpoint_k, double hold_s) {
    std::vector<Problem> found;
    if (!(setpoint_k >= celsius_to_kelvin(0.0) && setpoint_k <= booth.highest_setpoint_k))
        found.push_back({{},
                         0,
                         "set point",
                         fmt::format("is {:.1f} degC, accepted is 0 degC to the booth's highest, {:.1f} degC",
                                     kelvin_to_celsius(setpoint_k), kelvin_to_celsius(booth.highest_setpoint_k))});
    if (!(hold_s >= kSecondPerMinute && hold_s <= 48.0 * kSecondPerHour))
        found.push_back({{}, 0, "hold", fmt::format("is {:.1f} min, accepted is 1 min to 48 h", hold_s / kSecondPerMinute)});
    if (!found.empty()) throw InputError(std::move(found));
}

}  // namespace

TriedCycle try_cycle(const PlanTask& task, const PlanOptions& options, double setpoint_k, double hold_s) {
    refuse_problems(task, options);
    refuse_settings(task.booth, setpoint_k, hold_s);
    const SearchModel model(task, options);
    const Settings set{setpoint_k, model.shape().ramp_k_per_s(), hold_s};
    SetpointRun run(model, set);
    TriedCycle tried;
    tried.ramp_k_per_s = set.ramp_k_per_s;
    tried.cycle = run.cycle(hold_s);
    tried.is_cooled = run.cooled_after_s() < kFollowedCoolS;
    tried.cycle.title = "cycle set by hand";
    tried.prediction = model.predict(tried.cycle);
    Judged judged = judge(tried.prediction.traces, model, Requirements(task, options, model.coated()));
    if (options.confidence) settle(judged, model.ensemble(tried.cycle, *options.confidence, options.thread_count));
    tried.verdict = std::move(judged.verdict);
    tried.coats = std::move(judged.coats);
    tried.difference = std::move(judged.difference);
    tried.margins = margins(tried.prediction.traces, task.coating, task.items, model.coated(), task.so_far);
    return tried;
}

namespace {

using cure::Word;

/// How often a minute is added to a hold that was found on coarser samples.
constexpr int kMinutesAdded = 2;

std::string slowest_zone(const cure::BakeVerdict& verdict) {
    const auto slowest = std::min_element(
        verdict.zones.begin(), verdict.zones.end(),
        [](const cure::ZoneVerdict& a, const cure::ZoneVerdict& b) { return a.window.slack_s < b.window.slack_s; });
    return slowest == verdict.zones.end() ? std::string{} : slowest->zone;
}

bool spares_everything(const Candidate& candidate) {
    return candidate.bad_items.empty() && candidate.bad_coats.empty() &&
           std::none_of(candidate.bad_zones.begin(), candidate.bad_zones.end(),
                        [](const cure::ZoneVerdict& zone) { return zone.word == Word::over; });
}

void name_conflict(Plan& plan) {
    for (std::size_t i = 0; i < plan.candidates.size(); ++i) {
        if (!plan.coolest_that_cures && plan.candidates[i].hold_s) plan.coolest_that_cures = i;
        if (spares_everything(plan.candidates[i])) plan.hottest_that_spares = i;
    }
}

/// The candidate that the middle of the model allows with the best chance.
std::optional<std::size_t> surest(const std::vector<Candidate>& candidates) {
    std::optional<std::size_t> found;
    for (std::size_t i = 0; i < candidates.size(); ++i)
        if (candidates[i].unsure && (!found || *candidates[i].chance > *candidates[*found].chance)) found = i;
    return found;
}

/// How sure the plan is, what would go wrong first, and where probes would tell most.
void tell_chances(Plan& plan, const SearchModel& model) {
    const PlanOptions& options = model.options();
    if (!plan.feasible) plan.surest = surest(plan.candidates);
    const Candidate* told = plan.feasible ? &*plan.chosen : plan.surest ? &plan.candidates[*plan.surest] : nullptr;
    if (told == nullptr) return;
    SetpointRun run(model, {told->setpoint_k, told->ramp_k_per_s, options.longest_hold_s});
    const bake::Cycle cycle = plan.feasible ? plan.cycle : run.cycle(*told->hold_s);
    const EnsemblePrediction ensemble = model.ensemble(cycle, *options.confidence, options.thread_count);
    const HoldChances chances = hold_chances(ensemble, *told->hold_s);
    plan.chance = chances.exact_chance;
    plan.likeliest_obstacle = chances.likeliest_obstacle(*told->hold_s);
    const PlanTask& task = model.task();
    plan.probe_places = probe_places(
        {task.shell, task.booth, cycle, &task.coating, task.items},
        {.uncertainty = options.confidence->uncertainty, .predict = options.predict, .thread_count = options.thread_count});
}

/// Predicts the chosen cycle as a bake that is kept, and judges it as every other prediction is judged. By the middle of the
/// model alone, sampled more finely than in the search, it may lack seconds; a minute is then added.
void keep_promise(Plan& plan, const SearchModel& model, const Requirements& requirements) {
    const PlanTask& task = model.task();
    const PlanOptions& options = model.options();
    Settings set{plan.chosen->setpoint_k, plan.chosen->ramp_k_per_s, *plan.chosen->hold_s};
    const double cool_s = plan.chosen->booth_time_s - model.shape().begin_of_cool_s(set);
    const int minutes_to_add = options.confidence ? 0 : kMinutesAdded;
    for (int minutes = 0; minutes <= minutes_to_add && !plan.feasible; ++minutes) {
        plan.cycle = model.shape().cycle(set, cool_s);
        plan.prediction = model.predict(plan.cycle);
        const TraceSet whole = gone_on(task.before, plan.prediction.traces);
        Judged judged = judge(whole, model, requirements);
        if (options.confidence) {
            settle(judged, model.ensemble(plan.cycle, *options.confidence, options.thread_count));
            plan.feasible = judged.is_kept() && *judged.verdict.chance >= options.confidence->level;
        } else {
            plan.feasible = judged.all_good();
        }
        plan.verdict = std::move(judged.verdict);
        plan.difference = std::move(judged.difference);
        if (!plan.feasible) set.hold_s += kSecondPerMinute;
    }
    if (!plan.feasible) set.hold_s = *plan.chosen->hold_s;
    plan.chosen->booth_time_s += set.hold_s - *plan.chosen->hold_s;
    plan.chosen->hold_s = set.hold_s;
    plan.slowest_zone = slowest_zone(plan.verdict);
    plan.margins = margins(gone_on(task.before, plan.prediction.traces), task.coating, task.items, model.coated(), task.so_far);
    plan.chosen->margin_k = plan.margins.smallest_k();
}

}  // namespace

Plan plan_cycle(const PlanTask& task, const PlanOptions& options) {
    refuse_problems(task, options);
    const SearchModel model(task, options);
    const Requirements requirements(task, options, model.coated());
    const std::vector<double> setpoints_k = setpoints_to_try(task, options), ramps_k_per_s = model.shape().ramps_to_try();
    const std::size_t count = setpoints_k.size() * ramps_k_per_s.size();
    std::vector<Offer> offers(count);
    offers.resize(for_each_index(count, options.thread_count, options.progress, [&](std::size_t i, const GoesOn&) {
        offers[i] = offer_of(model, requirements, setpoints_k[i / ramps_k_per_s.size()], ramps_k_per_s[i % ramps_k_per_s.size()]);
        return true;
    }));
    Plan plan;
    plan.objective = options.objective;
    plan.complete = offers.size() == count;
    for (const Offer& offer : offers) plan.candidates.push_back(offer.shortest);
    for (const Objective objective : kObjectives)
        if (const auto index = choose(offers, objective))
            plan.choices.push_back({objective, candidate_for(offers[*index], objective)});
    plan.best = choose(offers, options.objective);
    if (plan.best) {
        plan.chosen = candidate_for(offers[*plan.best], options.objective);
        keep_promise(plan, model, requirements);
    }
    if (!plan.feasible) name_conflict(plan);
    if (options.confidence && plan.complete) tell_chances(plan, model);
    return plan;
}

}  // namespace bakewright::plan
