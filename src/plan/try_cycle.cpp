#include "bakewright/plan/try_cycle.hpp"

#include <fmt/core.h>

#include "bakewright/base/error.hpp"
#include "judged.hpp"
#include "plan_task.hpp"

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
    const BakeModel model(task, options);
    const Settings set{setpoint_k, model.shape().ramp_k_per_s(), hold_s};
    SetpointRun run(model, set);
    TriedCycle tried;
    tried.ramp_k_per_s = set.ramp_k_per_s;
    tried.cycle = run.cycle(hold_s);
    tried.is_cooled = run.cooled_after_s() < kFollowedCoolS;
    tried.cycle.title = "cycle set by hand";
    tried.prediction = model.predict(tried.cycle);
    Judged judged = judge(tried.prediction.traces, model, Demands(task, options, model.coated()));
    if (options.confidence) settle(judged, model.ensemble(tried.cycle, *options.confidence, options.thread_count));
    tried.verdict = std::move(judged.verdict);
    tried.coats = std::move(judged.coats);
    tried.difference = std::move(judged.difference);
    tried.margins = margins(tried.prediction.traces, task.coating, task.items, model.coated(), task.so_far);
    return tried;
}

}  // namespace bakewright::plan
