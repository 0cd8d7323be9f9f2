#include "plan_task.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

namespace bakewright::plan {

void refuse_problems(const PlanTask& task, const PlanOptions& options) {
    options.check();
    std::vector<Problem> found;
    for (std::vector<Problem> part :
         {bake::problems_in(task.shell), bake::problems_in(task.booth), cure::problems_in(task.coating)})
        found.insert(found.end(), part.begin(), part.end());
    if (task.shell.coated_zone_names().empty())
        found.push_back({{}, 0, "zone", fmt::format("shell '{}' has no coated zone: there is nothing to cure", task.shell.id)});
    if (!found.empty()) throw InputError(std::move(found));
}

std::vector<double> setpoints_to_try(const PlanTask& task, const PlanOptions& options) {
    const double highest_k =
        std::min(options.highest_setpoint_k.value_or(task.booth.highest_setpoint_k), task.booth.highest_setpoint_k);
    double lowest_k = std::max(options.lowest_setpoint_k, task.booth.ambient_k);
    for (const Step& step : options.steps) lowest_k = std::max(lowest_k, step.setpoint_k);
    if (highest_k < lowest_k)
        throw InputError(
            Problem{{},
                    0,
                    "set point",
                    fmt::format("the lowest to try, {:.1f} degC, is over the highest, {:.1f} degC: what can be tried "
                                "lies between the booth's ambient, its hottest step and its highest set point",
                                kelvin_to_celsius(lowest_k), kelvin_to_celsius(highest_k))});
    const int count = static_cast<int>(std::floor((highest_k - lowest_k) / options.setpoint_step_k + 1e-9)) + 1;
    std::vector<double> setpoints_k;
    for (int i = 0; i < count; ++i) setpoints_k.push_back(lowest_k + i * options.setpoint_step_k);
    return setpoints_k;
}

}  // namespace bakewright::plan
