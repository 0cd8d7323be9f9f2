// SPDX-License-Identifier: Apache-2.0
#include "bakewright/plan/finish.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "bakewright/plan/feasible_map.hpp"
#include "bakewright/profile/read.hpp"
#include "plan/lumped_example.hpp"

using namespace bakewright;
using namespace bakewright::plan;

// All bakes here are invented: what the model itself says of a cycle, cut short.

namespace {

/// What a logger would have kept of a prediction until a moment, of some places.
TraceSet log_of(const TraceSet& traces, double until_s, const std::vector<std::string>& names) {
    TraceSet log;
    for (const Trace& trace : traces.traces) {
        if (std::find(names.begin(), names.end(), trace.name) == names.end()) continue;
        Trace kept{trace.name, trace.role, {}, {}, {}};
        for (std::size_t i = 0; i < trace.size() && trace.time_s[i] <= until_s; ++i) {
            kept.time_s.push_back(trace.time_s[i]);
            kept.temperature_k.push_back(trace.temperature_k[i]);
        }
        log.traces.push_back(std::move(kept));
    }
    return log;
}

PlanOptions rest_at(double setpoint_c, const BrokenBake& broken) {
    PlanOptions options = only_at(setpoint_c);
    options.flash_off_s = 0.0;
    options.purge_s = 300.0;
    options.predict.node_start_k = broken.node_k;
    return options;
}

}  // namespace

TEST_CASE("a bake that goes on from where a prediction stood ends as the bake that was never cut") {
    // Both sides are our own model: tolerance 0.01 K, the solver's.
    const profile::Library library({std::string(BAKEWRIGHT_PROFILES)});
    const auto shell = profile::load_shell("library_van", library).record.shell;
    const auto booth = profile::load_booth("stirred_insulated", library).record;
    const auto cycle = profile::load_cycle("clear_60", library).record;
    const bake::Prediction whole = bake::predict(shell, booth, cycle);
    const double end_s = whole.stages.back().begin_s;
    bake::Cycle first = cycle, second = cycle;
    first.stages.pop_back();
    second.stages = {cycle.stages.back()};
    second.start_k = whole.stages.back().begin_k;
    bake::PredictOptions go_on;
    go_on.node_start_k = bake::predict(shell, booth, first).node_end_k;
    const bake::Prediction rest = bake::predict(shell, booth, second, go_on);
    for (const Trace& trace : rest.traces.traces)
        for (std::size_t i = 0; i < trace.size(); ++i)
            CHECK(std::abs(trace.temperature_k[i] - temperature_at_k(*whole.traces.find(trace.name), end_s + trace.time_s[i])) <=
                  0.01);
}

TEST_CASE("the state of a broken bake is that of its log, zones without a probe by the model") {
    // Zone side_lower is logged 2 K hotter than the model; the others are not logged. Tolerance 0.05 K: the air between samples.
    const profile::Library library({std::string(BAKEWRIGHT_PROFILES)});
    const auto shell = profile::load_shell("library_van", library).record.shell;
    const auto booth = profile::load_booth("stirred_insulated", library).record;
    const bake::Prediction whole = bake::predict(shell, booth, profile::load_cycle("clear_60", library).record);
    const double until_s = 2700.0;
    TraceSet log = log_of(whole.traces, until_s, {"booth air", "side_lower"});
    for (Trace& trace : log.traces)
        if (trace.name == "side_lower")
            for (std::size_t i = 1; i < trace.size(); ++i) trace.temperature_k[i] += 2.0;
    const BrokenBake broken = broken_bake(shell, booth, log, {});
    CHECK(broken.measured == std::vector<std::string>{"booth air", "side_lower"});
    CHECK(broken.so_far.find("side_lower")->time_s.back() == 0.0);
    const double model_k = temperature_at_k(*whole.traces.find("side_lower"), until_s);
    CHECK(std::abs(broken.node_k.at("side_lower") - (model_k + 2.0)) <= 0.05);
    CHECK(std::abs(broken.so_far.find("rocker_panels")->temperature_k.back() -
                   temperature_at_k(*whole.traces.find("rocker_panels"), until_s)) <= 0.1);
    CHECK_THROWS_AS((void)broken_bake(shell, booth, log_of(whole.traces, until_s, {"side_lower"}), {}), InputError);
}

TEST_CASE("a stay that was broken starts again, whatever the chemistry says of what was had") {
    // The skin had about 20 of its 30 min at 60 degC when the burner tripped. After five minutes of purge it is cold: it needs
    // the whole 30 min again.
    Example example;
    example.coating.activation_energy = cure::ActivationEnergy{50e3, 55e3, 60e3};
    example.coating.flash_off_minimum_s = 600.0;  // was kept before the heat of the bake that was cut: not asked for again
    const Plan whole = plan_cycle(example.task(), only_at(62.0));
    REQUIRE(whole.feasible);
    const Trace& skin = *whole.prediction.traces.find("skin");
    std::size_t at = 0;
    while (skin.temperature_k[at] < celsius_to_kelvin(60.0)) ++at;
    const TraceSet log = log_of(whole.prediction.traces, skin.time_s[at] + 1200.0, {"booth air", "skin"});
    const BrokenBake broken = broken_bake(example.shell, example.booth, log, {});
    const PlanTask task{example.shell, example.booth, example.coating, example.items, nullptr, &broken.so_far};
    CHECK(not_yet_cured(task).size() == 1);

    const PlanOptions options = rest_at(62.0, broken);
    const Plan by_sheet = plan_cycle(task, options);
    REQUIRE(by_sheet.feasible);
    CHECK(feasible_map(task, options, {}).rows.front().warnings.empty());
    CHECK(by_sheet.verdict.zones.front().rows.front().missing_s == 0.0);
    CHECK(by_sheet.cycle.stages.front().kind == bake::StageKind::purge);
    // The sheet's hold is that of a fresh bake, but for a warmer start.
    CHECK(*by_sheet.chosen->hold_s <= *whole.chosen->hold_s + 60.0);
    CHECK(*by_sheet.chosen->hold_s >= *whole.chosen->hold_s - 300.0);
}

TEST_CASE("a bake cut after the job was done needs nothing more, and exposure of an item counts across the break") {
    Example example;
    const Plan whole = plan_cycle(example.task(), only_at(65.0));
    REQUIRE(whole.feasible);
    const TraceSet log = log_of(whole.prediction.traces, 1e9, {"booth air", "skin"});
    const BrokenBake done = broken_bake(example.shell, example.booth, log, {});
    const PlanTask task{example.shell, example.booth, example.coating, example.items, nullptr, &done.so_far};
    CHECK(not_yet_cured(task).empty());

    bake::Item body;
    body.name = "trim";
    body.place = bake::Item::Place::zone;
    body.where = "skin";
    body.heat_capacity_j_per_k = 1.0;
    body.conductance_w_per_k = 5.0;
    example.shell.items = {body};
    cure::HeatSensitiveItem limit;
    limit.name = "trim";
    limit.limits = {{celsius_to_kelvin(58.0), minutes_to_seconds(70.0), cure::ExposureScope::bake}};
    example.items = {limit};
    const Plan alone = plan_cycle(example.task(), only_at(65.0));
    REQUIRE(alone.feasible);
    const Trace& skin = *alone.prediction.traces.find("skin");
    std::size_t at = 0;
    while (skin.temperature_k[at] < celsius_to_kelvin(60.0)) ++at;
    const BrokenBake cut = broken_bake(example.shell, example.booth,
                                       log_of(alone.prediction.traces, skin.time_s[at] + 1740.0, {"booth air", "skin"}), {});
    const PlanTask rest{example.shell, example.booth, example.coating, example.items, nullptr, &cut.so_far};
    const Plan refused = plan_cycle(rest, rest_at(65.0, cut));
    CHECK_FALSE(refused.feasible);
    CHECK(refused.candidates.front().bad_items.front().item == "trim");
}

TEST_CASE("the purge is four volumes of the booth, in whole minutes") {
    bake::Booth booth;
    booth.volume_m3 = 375.0;
    booth.ventilation[static_cast<std::size_t>(bake::FanMode::purge)].make_up_m3_per_s = 19.0;
    CHECK(purge_time_s(booth) == 120.0);  // 4 * 375 / 19 = 79 s
    booth.ventilation[static_cast<std::size_t>(bake::FanMode::purge)].make_up_m3_per_s = 0.0;
    CHECK_THROWS_AS((void)purge_time_s(booth), InputError);
}

TEST_CASE("a purge is as asked, else as the booth says, and none only where the booth purges by itself") {
    bake::Booth booth;
    booth.purge_s = 300.0;
    CHECK(purge_time_s(booth) == 300.0);
    CHECK(purge_time_s(booth, 480.0) == 480.0);
    CHECK_THROWS_AS((void)purge_time_s(booth, 0.0), InputError);
    booth.purge_s.reset();
    booth.purges_by_itself = true;
    CHECK(purge_time_s(booth) == 0.0);
    CHECK(purge_time_s(booth, 0.0) == 0.0);
    CHECK(purge_time_s(booth, 480.0) == 480.0);
}
