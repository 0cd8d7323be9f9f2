// SPDX-License-Identifier: Apache-2.0
// The same question asked twice has one answer: a planned cycle, predicted and judged as any other bake, gets the words and the
// chances of its plan to the last digit; and a minute less does not pass. Random shells, booths, coatings and cycles, all
// invented.

#include <doctest/doctest.h>

#include <algorithm>
#include <random>

#include "bakewright/cure/judge.hpp"
#include "bakewright/plan/ensemble.hpp"
#include "bakewright/plan/feasible_map.hpp"
#include "bakewright/plan/plan.hpp"

using namespace bakewright;
using namespace bakewright::plan;

namespace {

constexpr int kCasesAShard = 50;
constexpr std::size_t kMembers = 64;  // enough for 95 %, and quick

/// The same numbers with every standard library.
class Draw {
public:
    explicit Draw(unsigned seed) : bits_(seed) {}
    double between(double low, double high) { return low + (high - low) * static_cast<double>(bits_()) / 4294967295.0; }
    int upto(int most) { return static_cast<int>(bits_() % static_cast<unsigned>(most + 1)); }
    bool coin() { return upto(1) == 1; }

private:
    std::mt19937 bits_;
};

bake::Zone zone_of(Draw& draw, int number) {
    bake::Zone zone;
    zone.name = "zone_" + std::to_string(number);
    zone.area_m2 = draw.between(0.5, 6.0);
    zone.height_m = draw.between(0.2, 2.8);
    zone.coated = true;
    zone.outer.emissivity = draw.between(0.2, 0.95);
    bake::Layer layer;
    const bool is_steel = draw.coin();
    layer.material.density_kg_per_m3 = is_steel ? 7850.0 : 2700.0;
    layer.material.specific_heat_j_per_kg_k = is_steel ? 470.0 : 900.0;
    layer.material.conductivity_w_per_m_k = is_steel ? 50.0 : 150.0;
    layer.thickness_m = draw.between(0.8e-3, 3e-3);
    zone.layers = {layer};
    return zone;
}

struct Case {
    bake::Shell shell;
    bake::Booth booth;
    cure::Coating coating;
    std::vector<cure::HeatSensitiveItem> items;
    PlanOptions options;

    explicit Case(Draw& draw) {
        shell.id = "random";
        const int zones = 1 + draw.upto(2);
        for (int i = 0; i < zones; ++i) shell.zones.push_back(zone_of(draw, i));
        booth.id = "random";
        const double film = draw.between(3.0, 9.0);
        booth.film_w_per_m2_k = bake::Spread{0.7 * film, film, 1.4 * film};
        booth.wall_offset_k = draw.between(0.0, 8.0);
        const double stratified_k = draw.between(0.0, 4.0);
        booth.vertical_profile = {{0.0, -stratified_k}, {3.0, stratified_k}};
        coating.id = "clear";
        coating.basis = draw.upto(4) == 0 ? cure::ScheduleBasis::booth_air : cure::ScheduleBasis::part;
        const double row_c = draw.between(50.0, 62.0), minutes = draw.between(15.0, 45.0);
        coating.schedule = {{celsius_to_kelvin(row_c), minutes_to_seconds(minutes), {}}};
        if (draw.coin())
            coating.schedule.push_back(
                {celsius_to_kelvin(row_c + draw.between(5.0, 25.0)), minutes_to_seconds(0.5 * minutes), {}});
        if (draw.upto(3) == 0) coating.schedule.front().maximum_s = minutes_to_seconds(draw.between(2.0, 5.0) * minutes);
        if (draw.coin()) coating.absolute_maximum_k = celsius_to_kelvin(row_c + draw.between(27.0, 40.0));
        coating.flash_off_minimum_s = minutes_to_seconds(draw.upto(10));
        if (draw.coin()) coating.largest_heating_rate_k_per_s = draw.between(2.0, 5.0) / kSecondPerMinute;
        if (draw.coin()) items.push_back({"zone_0", "", {{celsius_to_kelvin(row_c + draw.between(2.0, 14.0)), 0.0}}, {}});
        options.lowest_setpoint_k = celsius_to_kelvin(row_c + 1.0);
        options.highest_setpoint_k = celsius_to_kelvin(row_c + 10.0);
        options.setpoint_step_k = 3.0;
        options.confidence = Confidence{.member_count = kMembers};
        options.thread_count = 1;
        options.predict.start_temperature_k = celsius_to_kelvin(draw.between(10.0, 25.0));
    }
    [[nodiscard]] PlanTask task() const { return {shell, booth, coating, items}; }
    /// As a bake of the book is judged.
    [[nodiscard]] cure::BakeVerdict judged(const bake::Cycle& cycle) const {
        bake::PredictOptions asked = options.predict;
        asked.output_interval_s = 10.0;
        cure::BakeVerdict verdict =
            cure::judge_bake(bake::predict(shell, booth, cycle, asked).traces, coating, items, shell.coated_place_names());
        EnsemblePredictOptions how;
        how.member_count = kMembers;
        how.predict = asked;
        add_certainty(verdict, predict_ensemble(shell, booth, cycle, coating, items, how), "");
        return verdict;
    }
};

template <class Verdicts, class Name>
void check_alike(const Verdicts& one, const Verdicts& other, const Name& name) {
    REQUIRE(one.size() == other.size());
    for (const auto& here : one) {
        CAPTURE(name(here));
        const auto there =
            std::find_if(other.begin(), other.end(), [&](const auto& candidate) { return name(candidate) == name(here); });
        REQUIRE(there != other.end());
        CHECK(here.word == there->word);
        REQUIRE(here.certainty.has_value() == there->certainty.has_value());
        if (!here.certainty) continue;
        CHECK(here.certainty->probabilities.good == there->certainty->probabilities.good);
        CHECK(here.certainty->probabilities.under == there->certainty->probabilities.under);
        CHECK(here.certainty->probabilities.over == there->certainty->probabilities.over);
    }
}

/// The map's own answer at one set point and the plan's.
void check_map(const Case& here, const Plan& plan) {
    PlanOptions at = here.options;
    at.lowest_setpoint_k = plan.chosen->setpoint_k;
    at.highest_setpoint_k = plan.chosen->setpoint_k;
    const FeasibleMap map = feasible_map(here.task(), at, {});
    REQUIRE(map.rows.size() == 1);
    CAPTURE(*plan.chosen->hold_s);
    CAPTURE(map.rows.front().shortest_hold_s.value_or(-1.0));
    CAPTURE(map.rows.front().longest_hold_s.value_or(-1.0));
    CAPTURE(map.rows.front().first_too_hot.has_value());
    REQUIRE(map.rows.front().shortest_sure_s);
    CHECK(*map.rows.front().shortest_sure_s == *plan.chosen->hold_s);
}

void check_shard(unsigned seed) {
    Draw draw(seed);
    int planned = 0;
    for (int i = 0; i < kCasesAShard; ++i) {
        const Case here(draw);
        CAPTURE(i);
        const Plan plan = plan_cycle(here.task(), here.options);
        if (!plan.feasible) {
            CHECK(!plan.candidates.empty());
            continue;
        }
        ++planned;
        const cure::BakeVerdict judged = here.judged(plan.cycle);
        check_alike(plan.verdict.zones, judged.zones, [](const cure::ZoneVerdict& zone) { return zone.zone; });
        check_alike(plan.verdict.items, judged.items, [](const cure::ItemVerdict& item) { return item.item; });
        REQUIRE(judged.chance);
        CHECK(*plan.chance == *judged.chance);
        CHECK(*plan.verdict.chance == *judged.chance);
        CHECK(*judged.chance >= 0.95);
        CHECK(judged.worst() == cure::Word::good);
        if (*plan.chosen->hold_s > kSecondPerMinute) {
            const double less_s = *plan.chosen->hold_s - kSecondPerMinute;
            const TriedCycle shorter = try_cycle(here.task(), here.options, plan.chosen->setpoint_k, less_s);
            CHECK(*shorter.verdict.chance < 0.95);
        }
        if (i % 10 == 0) check_map(here, plan);
    }
    CHECK(planned >= kCasesAShard / 3);
}

}  // namespace

TEST_CASE("one answer to one question: 50 random bakes, first shard") { check_shard(11); }
TEST_CASE("one answer to one question: 50 random bakes, second shard") { check_shard(12); }
TEST_CASE("one answer to one question: 50 random bakes, third shard") { check_shard(13); }
TEST_CASE("one answer to one question: 50 random bakes, fourth shard") { check_shard(14); }
TEST_CASE("one answer to one question: 50 random bakes, fifth shard") { check_shard(15); }
TEST_CASE("one answer to one question: 50 random bakes, sixth shard") { check_shard(16); }
