// SPDX-License-Identifier: Apache-2.0
#include "bakewright/plan/margins.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "bakewright/base/units.hpp"
#include "bakewright/cure/judge.hpp"
#include "bakewright/plan/ensemble.hpp"
#include "bakewright/plan/feasible_map.hpp"
#include "bakewright/plan/plan.hpp"
#include "bakewright/plan/remedies.hpp"
#include "bakewright/profile/read.hpp"
#include "plan/lumped_example.hpp"

using namespace bakewright;
using namespace bakewright::plan;

// All traces, sheets and limits here are invented; the closed forms are those of straight lines.

namespace {

/// Up from 20 to 66 degC at 1 K/min, 30 min there, down again at 1 K/min: at or above a level L for 30 + 2 (66 - L) minutes.
Trace trapezium(const std::string& name, TraceRole role) {
    return {name, role, {0.0, 2760.0, 4560.0, 7320.0}, {293.15, 339.15, 339.15, 293.15}, {}};
}

TraceSet one_zone() {
    TraceSet set;
    set.traces = {trapezium("skin", TraceRole::zone), trapezium("battery", TraceRole::item)};
    return set;
}

cure::Coating sheet(double temperature_c, double minimum_min) {
    cure::Coating coating;
    coating.id = "clear";
    coating.basis = cure::ScheduleBasis::part;
    coating.schedule = {{celsius_to_kelvin(temperature_c), minutes_to_seconds(minimum_min), {}}};
    return coating;
}

cure::HeatSensitiveItem battery(double limit_c, double allowed_min) {
    cure::HeatSensitiveItem item;
    item.name = "battery";
    item.limits = {{celsius_to_kelvin(limit_c), minutes_to_seconds(allowed_min), cure::ExposureScope::bake}};
    return item;
}

Trace shifted(Trace trace, double by_k) {
    for (double& temperature_k : trace.temperature_k) temperature_k += by_k;
    return trace;
}

constexpr double kErrorK = 0.011;  // of a margin, and rounding

}  // namespace

TEST_CASE("the cure margin is how far a trace can sink and still stay long enough") {
    // 30 min: the plateau alone, 6 K over 60 degC. 34 min: 64 degC is kept so long. 40 min at 66: 61 is kept, 5 K are lacking.
    const TraceSet traces = one_zone();
    const auto cure_k = [&](const cure::Coating& coating) { return margins(traces, coating, {}, {"skin"}).zones.front().cure_k; };
    CHECK(std::abs(cure_k(sheet(60.0, 30.0)) - 6.0) <= kErrorK);
    CHECK(std::abs(cure_k(sheet(60.0, 34.0)) - 4.0) <= kErrorK);
    CHECK(std::abs(cure_k(sheet(66.0, 40.0)) + 5.0) <= kErrorK);
}

TEST_CASE("an item's margin is how far its trace can rise before a limit is passed") {
    // Above 64 degC for 34 min, 40 allowed: 3 K hotter makes it 40. Never 70: the peak of 66 leaves 4.
    const TraceSet traces = one_zone();
    const auto spare_k = [&](const cure::HeatSensitiveItem& item) {
        return margins(traces, sheet(60.0, 30.0), {item}, {"skin"}).items.front().spare_k;
    };
    CHECK(std::abs(spare_k(battery(64.0, 40.0)) - 3.0) <= kErrorK);
    CHECK(std::abs(spare_k(battery(70.0, 0.0)) - 4.0) <= kErrorK);
    CHECK(std::abs(spare_k(battery(64.0, 30.0)) + 2.0) <= kErrorK);
}

TEST_CASE("a trace shifted by a little less than its margin keeps its verdict, by a little more it does not") {
    cure::Coating coating = sheet(64.0, 60.0);
    coating.schedule.front().maximum_s = minutes_to_seconds(90.0);
    coating.schedule.front().minimum_s = minutes_to_seconds(28.0);
    coating.absolute_maximum_k = celsius_to_kelvin(90.0);
    const TraceSet traces = one_zone();
    const ZoneMargin margin = margins(traces, coating, {}, {"skin"}).zones.front();
    const auto word = [&](double by_k) { return cure::judge_zone(shifted(traces.traces.front(), by_k), coating).word; };
    CHECK(word(-margin.cure_k + 0.02) == cure::Word::good);
    CHECK(word(-margin.cure_k - 0.02) != cure::Word::good);
    REQUIRE(margin.too_much_k.has_value());
    CHECK(word(*margin.too_much_k - 0.02) == cure::Word::good);
    CHECK(word(*margin.too_much_k + 0.02) != cure::Word::good);
}

TEST_CASE("the smallest margin is named, and nothing asked leaves the widest") {
    Margins some;
    some.zones = {{"roof", 4.0, 9.0}, {"rocker", 1.5, {}}};
    some.items = {{"battery", 2.0}};
    CHECK(some.smallest_k() == 1.5);
    CHECK(some.smallest_of() == "rocker");
    some.items.front().spare_k = -1.0;
    CHECK(some.smallest_of() == "battery");
    CHECK(Margins{}.smallest_k() == kWidestMarginK);
    CHECK(Margins{}.smallest_of().empty());
}

// Shells other than the demo van are invented.

namespace {

/// The example's skin with a thick laminate bonded to it by next to no conductance, so that each follows the air by itself.
Example with_cap() {
    Example example;
    bake::Zone cap = example.shell.zones.front();
    cap.name = "cap";
    cap.coated = false;
    cap.layers.front().material.density_kg_per_m3 = 1800.0;
    cap.layers.front().material.specific_heat_j_per_kg_k = 1100.0;
    cap.layers.front().material.conductivity_w_per_m_k = 0.3;
    cap.layers.front().thickness_m = 5e-3;
    example.shell.zones.push_back(cap);
    example.shell.links = {{"skin", "cap", 1e-6}};
    return example;
}

PlanOptions around_65() {
    PlanOptions options;
    options.lowest_setpoint_k = celsius_to_kelvin(63.0);
    options.highest_setpoint_k = celsius_to_kelvin(66.0);
    return options;
}

}  // namespace

TEST_CASE("the demo van's bonds are its caps and its fairing on metal, and no other link") {
    const profile::Library library({std::string(BAKEWRIGHT_PROFILES)});
    const std::vector<BondedPair> pairs = bonded_pairs(profile::load_shell("library_van", library).record.shell);
    const std::vector<BondedPair> wanted{
        {"frame_posts", "front_cap"}, {"frame_posts", "rear_cap"}, {"roof_skin", "roof_fairing"}};
    CHECK(pairs == wanted);
}

TEST_CASE("the profile's word on a bond counts more than the materials") {
    Example example = with_cap();
    CHECK(bonded_pairs(example.shell).size() == 1);
    example.shell.links.front().bonded = false;
    CHECK(bonded_pairs(example.shell).empty());
    example.shell.zones.back().layers.front().material.density_kg_per_m3 = 600.0;  // plywood
    example.shell.links.front().bonded.reset();
    CHECK(bonded_pairs(example.shell).empty());
    example.shell.links.front().bonded = true;
    CHECK(bonded_pairs(example.shell).front() == BondedPair{"skin", "cap"});
}

TEST_CASE("two lumped zones differ across a bond as the closed form of a body in air that moves in straight lines says") {
    // Source: T' = (T_air - T)/tau has, with air of slope s, T(t+d) = T_air(t+d) - s tau + (T(t) - T_air(t) + s tau) exp(-d/tau)
    // (Incropera & DeWitt, 6th ed., section 5.3, integrated). tau: skin 7850*470*0.001/10 = 368.95 s; cap 1800*1100*0.005/10 =
    // 990 s. The laminate's conductivity is set to 8 W/mK, so that its face is as warm as its middle. Tolerance 0.05 K and 1 min:
    // Bi/3 = 0.002 of what the cap lags, and samples every 10 s. Seen: 0.02 K.
    Example example = with_cap();
    example.shell.zones.back().layers.front().material.conductivity_w_per_m_k = 8.0;
    PlanOptions options = around_65();
    options.largest_difference_k = 100.0;
    options.lowest_setpoint_k = options.highest_setpoint_k.emplace(celsius_to_kelvin(65.0));
    const Plan plan = plan_cycle(example.task(), options);
    REQUIRE(plan.feasible);
    REQUIRE(plan.difference.has_value());
    double skin_k = celsius_to_kelvin(20.0), cap_k = skin_k, largest_k = 0.0, at_s = 0.0;
    for (const bake::ResolvedStage& stage : plan.prediction.stages) {
        const double slope = (stage.end_k - stage.begin_k) / (stage.end_s - stage.begin_s);
        for (double t = stage.begin_s; t < stage.end_s; t += 1.0) {
            const double air_k = stage.begin_k + slope * (t - stage.begin_s);
            const auto step = [&](double now_k, double tau_s) {
                return air_k + slope - slope * tau_s + (now_k - air_k + slope * tau_s) * std::exp(-1.0 / tau_s);
            };
            skin_k = step(skin_k, 368.95);
            cap_k = step(cap_k, 990.0);
            if (std::abs(skin_k - cap_k) > std::abs(largest_k)) largest_k = skin_k - cap_k, at_s = t + 1.0;
        }
    }
    CHECK(std::abs(plan.difference->metal_less_laminate_k - largest_k) <= 0.05);
    CHECK(std::abs(plan.difference->at_s - at_s) <= 60.0);
    CHECK(largest_k > 0.0);  // at the end of the ramp; the air goes down no faster, since a difference is limited
}

TEST_CASE("a limit on the difference refuses a fast ramp and is kept by a slow one, which the remedies find") {
    const Example example = with_cap();
    PlanOptions options = around_65();
    options.largest_difference_k = 10.0;
    const Plan fast = plan_cycle(example.task(), options);
    CHECK_FALSE(fast.feasible);
    CHECK(fast.candidates.front().difference_is_too_large);
    const std::vector<Remedy> all = remedies(example.task(), options, fast);
    const auto slower =
        std::find_if(all.begin(), all.end(), [](const Remedy& one) { return one.kind == RemedyKind::slower_ramp; });
    REQUIRE(slower != all.end());
    CHECK(slower->feasible);
    options.slowest_ramp_k_per_s = 0.5 / 60.0;
    const Plan slow = plan_cycle(example.task(), options);
    REQUIRE(slow.feasible);
    CHECK(slow.difference->size_k() <= 10.0);
    CHECK(slow.chosen->ramp_k_per_s < 2.0 / 60.0);
    options.largest_difference_k = 0.0;
    CHECK_THROWS_AS((void)plan_cycle(example.task(), options), InputError);
}

TEST_CASE("a limit on the difference enters the chances: about half of the members pass what the middle of the model reaches") {
    const Example example = with_cap();
    PlanOptions options = around_65();
    options.lowest_setpoint_k = celsius_to_kelvin(65.0);
    options.highest_setpoint_k = options.lowest_setpoint_k;
    options.largest_difference_k = 100.0;
    const Plan free = plan_cycle(example.task(), options);
    REQUIRE(free.difference);
    const auto spared = [&](double limit_k) {
        EnsemblePredictOptions asked;
        asked.member_count = 1000;
        asked.predict = options.predict;
        return predict_ensemble(example.shell, example.booth, free.cycle, example.coating, example.items, asked,
                                {nullptr, nullptr, limit_k})
            .nothing_passed.share;
    };
    const double half = spared(free.difference->size_k());
    // Tolerance: three standard errors of a share of one half among 1000, and as much again for the median not being the middle.
    CHECK(std::abs(half - 0.5) <= 0.1);
    CHECK(spared(free.difference->size_k() + 1.0) > half);
    CHECK(spared(free.difference->size_k() - 1.0) < half);
    CHECK(spared(100.0) > 0.99);
}
