// SPDX-License-Identifier: Apache-2.0
#include "bakewright/plan/so_far.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "bakewright/cure/judge_history.hpp"
#include "bakewright/plan/feasible_map.hpp"
#include "bakewright/plan/plan.hpp"
#include "plan/lumped_example.hpp"

using namespace bakewright;
using namespace bakewright::plan;

// All shells, sheets, limits and histories here are invented.

namespace {

/// An hour at 62 degC, of the skin and of the trim on it.
TraceSet one_hour() {
    TraceSet set;
    for (const auto& [name, role] : {std::pair("skin", TraceRole::zone), std::pair("trim", TraceRole::item)})
        set.traces.push_back({name, role, {0.0, 600.0, 4200.0, 4800.0}, {293.15, 335.15, 335.15, 293.15}, {}});
    return set;
}

/// The example with a primer that was in one bake of an hour at 62 degC; its sheet allows so many minutes at 62.
struct Primed : Example {
    TraceSet had = one_hour();
    cure::ShellHistory history;

    explicit Primed(double primer_maximum_min) {
        cure::Coating primer;
        primer.id = "primer";
        primer.title = "primer";
        primer.basis = cure::ScheduleBasis::part;
        primer.schedule = {{celsius_to_kelvin(62.0), minutes_to_seconds(20.0), minutes_to_seconds(primer_maximum_min)}};
        primer.activation_energy = cure::ActivationEnergy{54e3, 55e3, 56e3};
        history.coats = {{"primer", primer, {"skin"}, 0.0, {}, {}}};
        cure::HistoryBake bake;
        bake.name = "bake 1";
        bake.began_at_s = 3600.0;
        bake.zones = {"skin"};
        bake.items = {"trim"};
        bake.log = &had;
        history.bakes = {bake};

        bake::Item body;
        body.name = "trim";
        body.place = bake::Item::Place::zone;
        body.where = "skin";
        body.heat_capacity_j_per_k = 1.0;
        body.conductance_w_per_k = 5.0;
        shell.items = {body};
        cure::HeatSensitiveItem limits;
        limits.name = "trim";
        limits.limits = {{celsius_to_kelvin(60.0), minutes_to_seconds(400.0), cure::ExposureScope::lifetime}};
        items = {limits};
        history.items = items;
    }
    [[nodiscard]] PlanTask after(const SoFar& so_far) const { return {shell, booth, coating, items, &so_far}; }
};

}  // namespace

TEST_CASE("what coats and items had is what the history says, lifetime limits alone") {
    // At 62 degC for 60 min, plus the flanks: at or above 60 for 2/42 of 10 min on either side more.
    Primed shop(240.0);
    shop.items.front().limits.push_back({celsius_to_kelvin(50.0), minutes_to_seconds(90.0), cure::ExposureScope::bake});
    const SoFar had = so_far(shop.history, shop.items);
    REQUIRE(had.coats.size() == 1);
    CHECK(had.coats.front().over_bake_dose.at_value > 60.0 / 240.0);
    CHECK(had.coats.front().over_bake_dose.at_value < 80.0 / 240.0);
    REQUIRE(had.find_item("trim") != nullptr);
    CHECK(std::abs(had.find_item("trim")->exposed_s[0] - (3600.0 + 2.0 * 600.0 * 2.0 / 42.0)) <= 1e-6);
    CHECK(had.find_item("trim")->exposed_s[1] == 0.0);
    CHECK(had.find_item("battery") == nullptr);
}

TEST_CASE("an earlier coat with little allowance left forbids a bake that a fresh one allows") {
    // The skin needs 30 min at 60 degC. An hour was had; 75 min of 62 degC leave too little, 240 plenty.
    const Primed little(75.0), plenty(240.0);
    const SoFar little_left = so_far(little.history, little.items), plenty_left = so_far(plenty.history, plenty.items);
    const Plan refused = plan_cycle(little.after(little_left), only_at(65.0));
    CHECK_FALSE(refused.feasible);
    REQUIRE(refused.candidates.front().bad_coats.size() == 1);
    const CoatOverBaked& coat = refused.candidates.front().bad_coats.front();
    CHECK(coat.coat == "primer");
    CHECK(coat.word == cure::Word::over);
    CHECK(coat.share_before < 1.0);
    CHECK(coat.share_after > 1.0);
    CHECK(plan_cycle(plenty.after(plenty_left), only_at(65.0)).feasible);
    CHECK(plan_cycle(little.task(), only_at(65.0)).feasible);  // as if nothing had been
}

TEST_CASE("the map's longest hold leaves an earlier coat exactly its allowance, as the history then says") {
    const Primed shop(200.0);
    const SoFar had = so_far(shop.history, shop.items);
    MapOptions exact;
    exact.bound_error_s = 0.5;
    const MapRow row = feasible_map(shop.after(had), only_at(65.0), exact).rows.front();
    REQUIRE(row.longest_hold_s.has_value());
    REQUIRE(row.first_too_hot.has_value());
    CHECK(row.first_too_hot->subject == "primer on skin");
    PlanOptions fixed = only_at(65.0);
    // Ten seconds less than the bound: the bake that is kept is sampled more finely than the search.
    fixed.shortest_hold_s = fixed.longest_hold_s = *row.longest_hold_s - 10.0;
    const Plan plan = plan_cycle(shop.after(had), fixed);
    REQUIRE(plan.feasible);
    const cure::ShellVerdict then =
        cure::judge_history(after(shop.history, {plan.prediction.traces, shop.coating, {"skin"}, {"trim"}}));
    const auto primer = std::find_if(then.coats.begin(), then.coats.end(), [](const auto& one) { return one.coat == "primer"; });
    // A second of 200 min at 62 degC is 1e-4; the search samples every 30 s.
    CHECK(std::abs(primer->total.over_bake_dose.most() - 1.0) <= 1e-3);
}

TEST_CASE("lifetime exposure counts what an item had, and the verdict of the plan tells the sum") {
    Primed shop(240.0);
    shop.items.front().limits.front().allowed_s = minutes_to_seconds(80.0);
    const SoFar had = so_far(shop.history, shop.items);
    const Plan refused = plan_cycle(shop.after(had), only_at(65.0));
    CHECK_FALSE(refused.feasible);
    REQUIRE(refused.candidates.front().bad_items.size() == 1);
    CHECK(refused.candidates.front().bad_items.front().limits.front().exposed_s > minutes_to_seconds(80.0));
    CHECK(plan_cycle(shop.task(), only_at(65.0)).feasible);

    const MapRow row = feasible_map(shop.after(had), only_at(65.0), {}).rows.front();
    REQUIRE(row.first_too_hot.has_value());
    CHECK(row.first_too_hot->subject == "trim");
    // At 57 degC and above, where a CHECK begins, it was for 3600 + 2 * 600 * 5 / 42 s already.
    const MapRow fresh = feasible_map(shop.task(), only_at(65.0), {}).rows.front();
    REQUIRE(fresh.longest_hold_s.has_value());
    CHECK((!row.longest_hold_s || std::abs(*fresh.longest_hold_s - *row.longest_hold_s - (3600.0 + 6000.0 / 42.0)) <= 30.0));

    shop.items.front().limits.front().allowed_s = minutes_to_seconds(400.0);
    const SoFar roomy = so_far(shop.history, shop.items);
    const Plan plan = plan_cycle(shop.after(roomy), only_at(65.0));
    REQUIRE(plan.feasible);
    const cure::ShellVerdict then =
        cure::judge_history(after(shop.history, {plan.prediction.traces, shop.coating, {"skin"}, {"trim"}}));
    CHECK(std::abs(then.items.front().total.limits.front().exposed_s - plan.verdict.items.front().limits.front().exposed_s) <=
          1e-6);
}

TEST_CASE("a coat of the coating that waits for its first bake is not sprayed twice") {
    Primed shop(240.0);
    const TraceSet planned = one_hour();
    const auto coats_after = [&] { return after(shop.history, {planned, shop.coating, {"skin"}, {"trim"}}).coats.size(); };
    CHECK(coats_after() == 2);
    shop.coating.title = "clear";
    shop.history.coats.push_back({"clear, group 1", shop.coating, {"skin"}, 20000.0, {}, {}});
    CHECK(coats_after() == 2);
    shop.history.coats.back().applied_at_s = 10.0;  // it was in bake 1
    CHECK(coats_after() == 3);
}

TEST_CASE("where the middle of the model leaves an earlier coat just its allowance, about half of the members pass it") {
    Primed shop(200.0);
    shop.items.clear();
    const SoFar had = so_far(shop.history, shop.items);
    PlanOptions options = only_at(65.0);
    options.confidence = Confidence{.level = 0.5, .member_count = 1000};
    const MapRow row = feasible_map(shop.after(had), options, {}).rows.front();
    REQUIRE(row.longest_hold_s);
    const auto ensemble_of = [&](const SoFar* past) {
        const TriedCycle tried = try_cycle(shop.task(), only_at(65.0), celsius_to_kelvin(65.0), *row.longest_hold_s);
        EnsemblePredictOptions asked;
        asked.member_count = 1000;
        asked.predict = options.predict;
        const PlanTask task = shop.task();
        return predict_ensemble(task.shell, task.booth, tried.cycle, task.coating, task.items, asked, {past, nullptr, {}});
    };
    const EnsemblePrediction ensemble = ensemble_of(&had);
    // Tolerance: three standard errors of a share of one half among 1000, and as much again for the median not being the middle.
    CHECK(std::abs(ensemble.nothing_passed.share - 0.5) <= 0.1);
    const auto primer = std::find_if(ensemble.subjects.begin(), ensemble.subjects.end(),
                                     [](const SubjectChances& one) { return one.subject.text() == "primer on skin"; });
    REQUIRE(primer != ensemble.subjects.end());
    CHECK(std::abs(static_cast<double>(std::count_if(primer->spare_s.begin(), primer->spare_s.end(),
                                                     [](double spare_s) { return spare_s < 0.0; })) /
                       1000.0 -
                   0.5) <= 0.15);
    CHECK(ensemble_of(nullptr).nothing_passed.share > 0.95);
}
