#include "bakewright/plan/plan.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "bakewright/base/work.hpp"
#include "candidates.hpp"
#include "hold_chances.hpp"
#include "judged.hpp"
#include "plan_task.hpp"

namespace bakewright::plan {
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

/// How sure the plan is, what would go wrong first, and where a probe would teach most.
void tell_chances(Plan& plan, const BakeModel& model) {
    const PlanOptions& options = model.options();
    if (!plan.feasible) plan.surest = surest(plan.candidates);
    const Candidate* told = plan.feasible ? &*plan.chosen : plan.surest ? &plan.candidates[*plan.surest] : nullptr;
    if (told == nullptr) return;
    SetpointRun run(model, {told->setpoint_k, told->ramp_k_per_s, options.longest_hold_s});
    const EnsemblePrediction ensemble =
        model.ensemble(plan.feasible ? plan.cycle : run.cycle(*told->hold_s), *options.confidence, options.thread_count);
    const HoldChances chances = hold_chances(ensemble, *told->hold_s);
    plan.chance = chances.exact_chance;
    plan.likeliest_obstacle = chances.likeliest_obstacle(*told->hold_s);
    plan.probe_places = chances.probe_places();
}

/// Predicts the chosen cycle as a bake that is kept, and judges it as every other prediction is judged. By the middle of the
/// model alone, sampled more finely than in the search, it may lack seconds; a minute is then added.
void keep_promise(Plan& plan, const BakeModel& model, const Demands& demands) {
    const PlanTask& task = model.task();
    const PlanOptions& options = model.options();
    Settings set{plan.chosen->setpoint_k, plan.chosen->ramp_k_per_s, *plan.chosen->hold_s};
    const double cool_s = plan.chosen->booth_time_s - model.shape().begin_of_cool_s(set);
    const int minutes_to_add = options.confidence ? 0 : kMinutesAdded;
    for (int minutes = 0; minutes <= minutes_to_add && !plan.feasible; ++minutes) {
        plan.cycle = model.shape().cycle(set, cool_s);
        plan.prediction = model.predict(plan.cycle);
        const TraceSet whole = gone_on(task.before, plan.prediction.traces);
        Judged judged = judge(whole, model, demands);
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
    require(shortest_hold_s >= kSecondPerMinute && shortest_hold_s <= longest_hold_s, "shortest hold",
            "1 min to the longest hold");
    require(!flash_off_s || (*flash_off_s >= 0.0 && *flash_off_s <= 24.0 * kSecondPerHour), "flash-off", "0 s to 24 h");
    require(ramp_k_per_s >= 0.01 / 60.0 && ramp_k_per_s <= 1.0, "ramp", "0.01 to 60 K/min");
    require(handling_k >= celsius_to_kelvin(0.0) && handling_k <= celsius_to_kelvin(100.0), "handling temperature",
            "0 to 100 degC");
    require(!largest_difference_k || (*largest_difference_k >= 0.1 && *largest_difference_k <= 200.0), "largest difference",
            "0.1 to 200 K");
    require(wait_s >= 0.0 && wait_s <= 7.0 * 24.0 * kSecondPerHour, "wait", "0 s to 7 days");
    require(purge_s >= 0.0 && purge_s <= 24.0 * kSecondPerHour, "purge", "0 s to 24 h");
    require(!slowest_ramp_k_per_s || (*slowest_ramp_k_per_s >= 0.01 / 60.0 && *slowest_ramp_k_per_s <= ramp_k_per_s),
            "slowest ramp", "0.01 K/min to the ramp");
    for (const std::vector<Step>* list : {&steps, &second_holds})
        for (const Step& step : *list) {
            require(step.setpoint_k >= celsius_to_kelvin(0.0) && step.setpoint_k <= celsius_to_kelvin(250.0),
                    "set point of a step", "0 to 250 degC");
            require(step.hold_s >= kSecondPerMinute && step.hold_s <= 48.0 * kSecondPerHour, "hold of a step", "1 min to 48 h");
        }
    if (!found.empty()) throw InputError(std::move(found));
    predict.check();
    if (confidence) confidence->check();
}

Plan plan_cycle(const PlanTask& task, const PlanOptions& options) {
    refuse_problems(task, options);
    const BakeModel model(task, options);
    const Demands demands(task, options, model.coated());
    const std::vector<double> setpoints_k = setpoints_to_try(task, options), ramps_k_per_s = model.shape().ramps_to_try();
    const std::size_t count = setpoints_k.size() * ramps_k_per_s.size();
    std::vector<Offer> offers(count);
    offers.resize(for_each_index(count, options.thread_count, options.progress, [&](std::size_t i) {
        offers[i] = offer_of(model, demands, setpoints_k[i / ramps_k_per_s.size()], ramps_k_per_s[i % ramps_k_per_s.size()]);
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
        keep_promise(plan, model, demands);
    }
    if (!plan.feasible) name_conflict(plan);
    if (options.confidence && plan.complete) tell_chances(plan, model);
    return plan;
}

}  // namespace bakewright::plan
