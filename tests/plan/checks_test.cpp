// SPDX-License-Identifier: Apache-2.0
// A plan against what it must be: closed forms, brute force, units.

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "bakewright/plan/feasible_map.hpp"
#include "bakewright/plan/plan.hpp"
#include "plan/demo_van.hpp"
#include "plan/lumped_example.hpp"

using namespace bakewright;
using namespace bakewright::plan;
using bakewright::plan::test::Van;

namespace {

/// A lumped skin of tau 368.95 s through ramp, hold and cool-down of the planned cycle, each exactly by the body in air that
/// moves in straight lines (Incropera & DeWitt, 6th ed., section 5.3, integrated), and the Arrhenius dose along it by the
/// trapezoid on steps of 1 s: t_required = 30 min exp(E/R (1/T - 1/333.15 K)), as at 60 degC above it, nothing under 45 degC.
double closed_form_dose(const std::vector<bake::ResolvedStage>& stages, double hold_s, double energy_j_per_mol) {
    double skin_k = celsius_to_kelvin(20.0), dose = 0.0;
    const auto rate = [&](double k) {
        if (k < celsius_to_kelvin(45.0)) return 0.0;
        const double at_k = std::min(k, celsius_to_kelvin(60.0));
        return std::exp(energy_j_per_mol / kGasConstant * (1.0 / celsius_to_kelvin(60.0) - 1.0 / at_k)) / 1800.0;
    };
    for (const bake::ResolvedStage& stage : stages) {
        const double length_s = stage.kind == bake::StageKind::hold ? hold_s : stage.end_s - stage.begin_s;
        const double slope = (stage.end_k - stage.begin_k) / length_s;
        for (double t = 0.0; t < length_s - 0.5; t += 1.0) {
            const double air_k = stage.begin_k + slope * t, before = rate(skin_k);
            skin_k = air_k + slope - slope * 368.95 + (skin_k - air_k + slope * 368.95) * std::exp(-1.0 / 368.95);
            dose += 0.5 * (before + rate(skin_k));
        }
    }
    return dose;
}

/// The whole cycle with its cool-down, solved and judged in full, as if there were no search.
struct Tried {
    bool good = false;
    bool cured = false;
    double booth_time_s = 0.0;
};
Tried try_in_full(const Van& van, const bake::Cycle& like, double setpoint_k, double hold_s) {
    bake::Cycle cycle = like;
    const double ramp_s = std::ceil((setpoint_k - van.booth.ambient_k) / (2.0 / 60.0) / 60.0 - 1e-9) * 60.0;
    const double fall_s = std::ceil((setpoint_k - van.booth.ambient_k) / van.booth.largest_ramp_k_per_s / 60.0 - 1e-9) * 60.0;
    const std::vector<double> duration_s{600.0, ramp_s, hold_s, fall_s};
    for (std::size_t i = 0; i < 4; ++i) {
        cycle.stages[i].duration_s = duration_s[i];
        if (i == 1 || i == 2) cycle.stages[i].setpoint_k = setpoint_k;
    }
    cycle.stages.resize(4);
    const bake::Prediction prediction =
        bake::predict(van.shell.shell, van.booth, cycle, {.output_interval_s = 10.0, .after_s = 2.0 * kSecondPerHour});
    const std::vector<std::string> coated = van.shell.shell.coated_place_names();
    const cure::BakeVerdict verdict = cure::judge_bake(prediction.traces, van.coating, van.shell.item_limits, coated);
    Tried tried;
    tried.cured = std::all_of(verdict.zones.begin(), verdict.zones.end(),
                              [](const cure::ZoneVerdict& zone) { return zone.window.is_cured(); });
    tried.good = tried.cured && verdict.worst() == cure::Word::good && verdict.warnings.empty();
    double cooled_s = 0.0;
    for (const std::string& zone : coated) {
        const Trace& trace = *prediction.traces.find(zone);
        std::size_t i = trace.size();
        while (i > 0 && trace.temperature_k[i - 1] <= celsius_to_kelvin(40.0)) --i;
        cooled_s = std::max(cooled_s, trace.time_s[std::min(i, trace.size() - 1)]);
    }
    const double begin_of_cool_s = 600.0 + ramp_s + hold_s;
    tried.booth_time_s = begin_of_cool_s + std::max(std::ceil((cooled_s - begin_of_cool_s) / 60.0 - 1e-9) * 60.0, fall_s);
    return tried;
}

}  // namespace

TEST_CASE("a hold planned on the maker's word below the sheet is the closed form's on one lumped zone") {
    // Sources at closed_form_dose(); below the sheet the high end of the band counts. Tolerance: holds are whole minutes and
    // rounded up; 3 s for samples of 30 s.
    Example example;
    example.coating.activation_energy = cure::ActivationEnergy{50e3, 55e3, 60e3};
    example.coating.cured_below_the_sheet_from_k = celsius_to_kelvin(45.0);
    example.coating.sources["cured_below_the_sheet_from"] = "invented for this test";
    const Plan plan = plan_cycle(example.task(), set_between(61.0, 61.0));
    REQUIRE(plan.feasible);
    double hold_s = 60.0;
    while (closed_form_dose(plan.prediction.stages, hold_s, 60e3) < 1.0) hold_s += 1.0;
    CHECK(*plan.chosen->hold_s >= hold_s - 3.0);
    CHECK(*plan.chosen->hold_s <= hold_s + 63.0);
}

TEST_CASE("on the demo van no cycle of a coarse grid is shorter than the plan, and a minute less never cures") {
    // Each cycle of the grid is predicted and judged in full, without the search's short cuts. The chosen set point may be 3 %
    // longer.
    const Van van;
    const Plan plan = plan_cycle(van.task(), set_between(54.0, 64.0));
    REQUIRE(plan.feasible);
    for (const Candidate& candidate : plan.candidates) {
        if (std::fmod(kelvin_to_celsius(candidate.setpoint_k) + 1e-9, 5.0) > 0.01) continue;  // 55 and 60 in full
        REQUIRE(candidate.hold_s.has_value());
        CHECK(try_in_full(van, plan.cycle, candidate.setpoint_k, *candidate.hold_s + 60.0).cured);
        CHECK_FALSE(try_in_full(van, plan.cycle, candidate.setpoint_k, *candidate.hold_s - 60.0).cured);
    }
    for (double setpoint_c = 54.0; setpoint_c <= 64.0; setpoint_c += 2.0)
        for (double hold_min = 20.0; hold_min <= 120.0; hold_min += 10.0) {
            const Tried tried = try_in_full(van, plan.cycle, celsius_to_kelvin(setpoint_c), minutes_to_seconds(hold_min));
            CAPTURE(setpoint_c);
            CAPTURE(hold_min);
            if (tried.good) CHECK(tried.booth_time_s * (1.0 + kNearlyShortest) >= plan.chosen->booth_time_s - 60.0);
        }
}

TEST_CASE("the map's cells say of the demo van what full predictions say") {
    const Van van;
    const Plan plan = plan_cycle(van.task(), set_between(60.0, 60.0));
    MapOptions coarse;
    coarse.hold_step_s = minutes_to_seconds(30.0);
    PlanOptions options = set_between(58.0, 76.0);
    options.setpoint_step_k = 6.0;
    options.longest_hold_s = minutes_to_seconds(150.0);
    const FeasibleMap map = feasible_map(van.task(), options, coarse);
    int feasible = 0, not_feasible = 0;
    for (const MapRow& row : map.rows)
        for (const double hold_s : map.hold_s) {
            const bool near_bound = (row.shortest_hold_s && std::abs(*row.shortest_hold_s - hold_s) < 30.0) ||
                                    (row.longest_hold_s && std::abs(*row.longest_hold_s - hold_s) < 30.0);
            if (near_bound) continue;
            const bool says = row.at(0, hold_s) == MapRow::Cell::feasible;
            CAPTURE(row.setpoint_k);
            CAPTURE(hold_s);
            CHECK(says == try_in_full(van, plan.cycle, row.setpoint_k, hold_s).good);
            ++(says ? feasible : not_feasible);
        }
    CHECK(feasible >= 3);
    CHECK(not_feasible >= 3);
}

TEST_CASE("the order of zones and links changes no candidate by more than the solver's last digits") {
    // Nodes in another order add up in another order: holds are whole minutes and stay; margins within 0.02 K.
    const Van van;
    bake::Shell turned = van.shell.shell;
    std::reverse(turned.zones.begin(), turned.zones.end());
    std::reverse(turned.links.begin(), turned.links.end());
    const Plan one = plan_cycle(van.task(), set_between(58.0, 62.0));
    const Plan two = plan_cycle({turned, van.booth, van.coating, van.shell.item_limits}, set_between(58.0, 62.0));
    REQUIRE(one.candidates.size() == two.candidates.size());
    for (std::size_t i = 0; i < one.candidates.size(); ++i) {
        CHECK(one.candidates[i].hold_s == two.candidates[i].hold_s);
        CHECK(std::abs(one.candidates[i].margin_k - two.candidates[i].margin_k) <= 0.02);
    }
}
