// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cmath>
#include <optional>
#include <stdexcept>

#include "bakewright/plan/feasible_map.hpp"
#include "bakewright/plan/plan.hpp"
#include "bakewright/profile/read.hpp"
#include "measure.hpp"

namespace bakewright::bench {
namespace {

constexpr int kSetpoints = 40;
constexpr double kLowestC = 41.0;

/// The demo van, its stirred booth and the low-bake clear.
struct Demo {
    profile::ShellProfile shell;
    bake::Booth booth;
    cure::Coating coating;

    [[nodiscard]] plan::PlanTask task() const { return {shell.shell, booth, coating, shell.item_limits}; }
};

Demo demo() {
    const profile::Library library({BAKEWRIGHT_PROFILES});
    return {profile::load_shell("library_van", library).record, profile::load_booth("stirred_insulated", library).record,
            profile::load_coating("clear_low_bake", library).record};
}

plan::PlanOptions forty_setpoints(std::size_t thread_count) {
    plan::PlanOptions options;
    options.lowest_setpoint_k = celsius_to_kelvin(kLowestC);
    options.highest_setpoint_k = celsius_to_kelvin(kLowestC + kSetpoints - 1);
    options.thread_count = thread_count;
    return options;
}

/// The shortest hold in whole minutes at a set point, by predicting and judging each in full, from the planned cycle's own
/// stages.
std::optional<double> by_brute_force_s(const Demo& van, bake::Cycle cycle, double setpoint_k, double longest_s) {
    const auto whole_minutes_s = [](double time_s) { return std::ceil(time_s / 60.0 - 1e-9) * 60.0; };
    const double rise_k = setpoint_k - van.booth.ambient_k;
    const auto stage_of = [&](bake::StageKind kind) {
        return std::find_if(cycle.stages.begin(), cycle.stages.end(), [&](const auto& stage) { return stage.kind == kind; });
    };
    const auto ramp = stage_of(bake::StageKind::ramp), hold = stage_of(bake::StageKind::hold),
               cool = stage_of(bake::StageKind::cool);
    ramp->setpoint_k = hold->setpoint_k = setpoint_k;
    ramp->duration_s = whole_minutes_s(rise_k / (2.0 / 60.0));
    cool->duration_s = whole_minutes_s(rise_k / van.booth.largest_ramp_k_per_s);
    for (double hold_s = 60.0; hold_s <= longest_s; hold_s += 60.0) {
        hold->duration_s = hold_s;
        const bake::Prediction bake =
            bake::predict(van.shell.shell, van.booth, cycle, {.output_interval_s = 30.0, .after_s = kSecondPerHour});
        const auto zones = cure::judge_bake(bake.traces, van.coating, {}, van.shell.shell.coated_place_names()).zones;
        const bool is_met = std::all_of(zones.begin(), zones.end(), [](const auto& zone) { return zone.window.is_cured(); });
        if (is_met) return hold_s;
    }
    return std::nullopt;
}

/// Every set point's hold against every whole minute tried in full. @throws std::runtime_error where one differs by more than a
/// minute, the last digits of two solves apart
void confirm(const Demo& van, const plan::Plan& plan) {
    for (const plan::Candidate& candidate : plan.candidates) {
        const double longest_s = candidate.hold_s.value_or(3600.0) + 120.0;
        const std::optional<double> hold_s = by_brute_force_s(van, plan.cycle, candidate.setpoint_k, longest_s);
        const bool alike =
            hold_s.has_value() == candidate.hold_s.has_value() && (!hold_s || std::abs(*hold_s - *candidate.hold_s) <= 60.0);
        if (!alike) throw std::runtime_error("plan.demo: brute force finds another hold");
    }
}

}  // namespace

Record map_demo() {
    const Demo van = demo();
    plan::FeasibleMap map;
    const auto draw = [&](std::size_t threads) { map = plan::feasible_map(van.task(), forty_setpoints(threads), {}); };
    const std::vector<double> median_s = interleaved_medians_s({[&] { draw(2); }, [&] { draw(1); }}, 15);
    if (map.rows.size() != kSetpoints) throw std::runtime_error("map.demo: not as many set points as asked for");
    return {"map.demo",   median_s[0] * 1e3, "ms",
            "one thread", median_s[1] * 1e3, "40 set points, holds up to 4 h, both bounds within 5 s"};
}

Record map_demo_256() {
    const Demo van = demo();
    plan::FeasibleMap map;
    const auto draw = [&](std::size_t threads) {
        plan::PlanOptions options = forty_setpoints(threads);
        options.confidence = plan::Confidence{};
        map = plan::feasible_map(van.task(), options, {});
    };
    const std::vector<double> median_s = interleaved_medians_s({[&] { draw(2); }, [&] { draw(1); }}, 9);
    if (map.rows.size() != kSetpoints) throw std::runtime_error("map.demo.256: not as many set points as asked for");
    return {"map.demo.256", median_s[0] * 1e3, "ms",
            "one thread",   median_s[1] * 1e3, "as map.demo, with the chances of 256 members of the model at every set point"};
}

Record plan_demo() {
    const Demo van = demo();
    plan::Plan plan;
    const auto make = [&](std::size_t threads) { plan = plan::plan_cycle(van.task(), forty_setpoints(threads)); };
    const std::vector<double> median_s = interleaved_medians_s({[&] { make(2); }, [&] { make(1); }}, 9);
    if (!plan.feasible) throw std::runtime_error("plan.demo: no plan was found");
    confirm(van, plan);
    return {"plan.demo",
            median_s[0] * 1e3,
            "ms",
            "one thread",
            median_s[1] * 1e3,
            "40 set points, holds up to 4 h, time, energy and margin, the cycle predicted and judged"};
}

}  // namespace bakewright::bench
