// SPDX-License-Identifier: Apache-2.0
#include "bakewright/plan/task.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "bakewright/base/error.hpp"

namespace bakewright::plan {

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

double planned_flash_off_s(const cure::Coating& coating, const PlanOptions& options) {
    if (options.flash_off_s) return *options.flash_off_s;
    const double least_s = coating.flash_off_minimum_s.value_or(kFlashOffNotPrintedS);
    if (!coating.flash_off_maximum_s) return least_s;
    return std::clamp(*coating.flash_off_maximum_s - options.purge_s, 0.0, least_s);
}

}  // namespace bakewright::plan
