// SPDX-License-Identifier: Apache-2.0
#include "offers.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>

#include "bakewright/cure/judge.hpp"
#include "bakewright/cure/rule.hpp"
#include "bakewright/plan/candidate.hpp"
#include "bakewright/thermal/air.hpp"
#include "hold_search.hpp"
#include "requirements.hpp"
#include "setpoint_run.hpp"

namespace bakewright::plan {
namespace {

using bake::Booth;

using bake::ResolvedStage;

/// Heat that fresh air of the booth's ambient takes up in a stage: its flow, density and heat capacity, and the mean rise.
double fresh_air_j(const Booth& booth, const ResolvedStage& stage) {
    const double flow_m3_per_s = booth.ventilation[static_cast<std::size_t>(bake::fan_mode_of(stage.kind))].make_up_m3_per_s;
    const thermal::AirProperties fresh = thermal::air_properties(booth.ambient_k);
    const double mean_rise_k = std::max(0.5 * (stage.begin_k + stage.end_k) - booth.ambient_k, 0.0);
    return flow_m3_per_s * fresh.density_kg_per_m3 * fresh.specific_heat_j_per_kg_k * mean_rise_k * (stage.end_s - stage.begin_s);
}

/// About where walls are in air of a temperature.
double wall_k(const Booth& booth, double air_k) {
    return air_k - booth.wall_offset_below_air_k() * (air_k - booth.ambient_k) / booth.rise_of_full_offset_k();
}

/// A concrete floor keeps its heat.
double losing_area_m2(const Booth& booth) {
    const double floor_m2 = booth.surface_areas_m2()[static_cast<std::size_t>(bake::BoothSurface::floor)];
    return booth.floor == bake::FloorKind::concrete && !booth.states_wall_offset() ? booth.wall_area_m2 - floor_m2
                                                                                   : booth.wall_area_m2;
}

double wall_loss_j(const Booth& booth, const ResolvedStage& stage) {
    const double mean_k = wall_k(booth, 0.5 * (stage.begin_k + stage.end_k));
    return booth.wall_loss().value * losing_area_m2(booth) * std::max(mean_k - booth.ambient_k, 0.0) *
           (stage.end_s - stage.begin_s);
}

Energy of_given_air(const Booth& booth, const bake::Cycle& cycle, double begin_of_cool_s, const SetpointRun& run) {
    Energy energy;
    energy.shell_j = energy.total_j = run.stored_j();
    if (booth.ventilation[static_cast<std::size_t>(bake::FanMode::bake)].make_up_m3_per_s <= 0.0) return energy;
    energy.counts = Energy::Counts::shell_walls_and_air;
    double hottest_k = booth.ambient_k;
    for (const ResolvedStage& stage : bake::resolve(cycle, booth)) {
        if (stage.begin_s >= begin_of_cool_s - 1e-6) break;
        energy.fresh_air_j += fresh_air_j(booth, stage);
        energy.walls_j += wall_loss_j(booth, stage);
        hottest_k = std::max(hottest_k, stage.end_k);
    }
    // Walls and booth air are warmed once.
    const thermal::AirProperties air = thermal::air_properties(booth.ambient_k);
    energy.walls_j += booth.states_wall_offset() ? booth.wall_heat_capacity_j_per_m2_k * booth.wall_area_m2 *
                                                       (wall_k(booth, hottest_k) - booth.ambient_k)
                                                 : run.stored_in_booth_j();
    energy.fresh_air_j += booth.volume_m3 * air.density_kg_per_m3 * air.specific_heat_j_per_kg_k * (hottest_k - booth.ambient_k);
    energy.total_j += energy.walls_j + energy.fresh_air_j;
    return energy;
}

Energy of_burner(const bake::BoothRun& run) {
    return {Energy::Counts::burner, run.burner_j, run.shell_j, run.wall_loss_j, run.fresh_air_j};
}

/// What the last bake of a run costs.
[[nodiscard]] Energy energy_of(const SetpointRun& run, const Settings& set) {
    const SearchModel& model = run.model();
    const double begin_of_cool_s = model.shape().begin_of_cool_s(set);
    const bake::Cycle cycle = model.shape().cycle(set, kFollowedCoolS);
    if (model.can_go_on()) return of_given_air(model.task().booth, cycle, begin_of_cool_s, run);
    return of_burner(*bake::predict(model.task().shell, model.task().booth, cycle, model.options().predict).summary.booth);
}

using cure::Word;

constexpr double kMarginHoldErrorS = 30.0;

double up_to_minute_s(double time_s) { return std::ceil(time_s / kSecondPerMinute - 1e-9) * kSecondPerMinute; }
double down_to_minute_s(double time_s) { return std::floor(time_s / kSecondPerMinute + 1e-9) * kSecondPerMinute; }

Margins margins_of(const Baked& baked, const SearchModel& model) {
    return margins(baked.traces, model.task().coating, model.task().items, model.coated(), model.task().so_far);
}

/// What the two sides of a bake have to spare: to be cured, which a longer hold widens, and from too much, which it narrows.
struct Sides {
    double cure_k = kWidestMarginK, spare_k = kWidestMarginK;
    [[nodiscard]] double narrower_k() const { return std::min(cure_k, spare_k); }
};
Sides sides_of(const Margins& margins) {
    Sides sides;
    for (const ZoneMargin& zone : margins.zones) {
        sides.cure_k = std::min(sides.cure_k, zone.cure_k);
        sides.spare_k = std::min(sides.spare_k, zone.too_much_k.value_or(kWidestMarginK));
    }
    for (const ItemMargin& item : margins.items) sides.spare_k = std::min(sides.spare_k, item.spare_k);
    for (const CoatMargin& coat : margins.coats) sides.spare_k = std::min(sides.spare_k, coat.spare_k);
    return sides;
}

class CandidateMaker {
public:
    CandidateMaker(const SearchModel& model, const Requirements& requirements, double setpoint_k, double ramp_k_per_s)
        : model_(model), requirements_(requirements), run_(model, {setpoint_k, ramp_k_per_s, model.options().longest_hold_s}) {
        if (model.options().confidence)
            sure_.emplace(run_, Settings{setpoint_k, ramp_k_per_s, model.options().longest_hold_s}, *model.options().confidence);
    }

    Offer offer() {
        const PlanOptions& options = model_.options();
        const std::optional<double> hold_s =
            shortest_curing_hold_s(run_, requirements_, options.shortest_hold_s, options.longest_hold_s);
        Offer made{candidate(hold_s.value_or(options.longest_hold_s), hold_s.has_value()), {}};
        if (made.shortest.feasible && sure_) make_sure(made.shortest, options.confidence->level);
        if (made.shortest.feasible) made.widest = widest(made.shortest);
        if (made.widest && sure_) note_chance(*made.widest, options.confidence->level, made.shortest);
        return made;
    }

private:
    /// Finds the hold that is just as sure as asked; marks the candidate where none is.
    void make_sure(Candidate& middle, double level) {
        const double longest_s = model_.options().longest_hold_s, from_s = *middle.hold_s;
        const std::optional<double> sure_s = sure_->shortest_s(from_s, longest_s);
        const double surest_s = sure_s ? *sure_s : up_to_minute_s(sure_->at(from_s).surest_s(from_s, longest_s));
        const double hold_s = std::min(surest_s, longest_s);
        Candidate found = candidate(hold_s, true);
        found.chance = sure_->at(hold_s).exact_chance;
        if (sure_s && found.is_kept && *found.chance >= level) {
            found.feasible = true;
            found.margin_k = margins_of(run_.bake(hold_s), model_).smallest_k();
            middle = std::move(found);
            return;
        }
        if (found.is_kept) middle = std::move(found);
        if (!middle.chance) middle.chance = sure_->at(from_s).exact_chance;
        middle.unsure = true;
        middle.feasible = false;
    }
    /// The cycle with the widest margin is not always the surest: where it is not sure enough, the shortest stands for it.
    void note_chance(Candidate& widest, double level, const Candidate& shortest) {
        widest.chance = sure_->at(*widest.hold_s).exact_chance;
        if (*widest.chance < level) widest = shortest;
    }

    Candidate candidate(double hold_s, bool cures) {
        const Baked& baked = run_.bake(hold_s);
        Judged judged = judge(baked.traces, model_, requirements_);
        const cure::BakeVerdict& verdict = judged.verdict;
        Candidate made;
        made.setpoint_k = baked.set.setpoint_k;
        made.ramp_k_per_s = baked.set.ramp_k_per_s;
        if (cures) made.hold_s = hold_s;
        made.booth_time_s = baked.begin_of_cool_s + run_.cool_s();
        made.is_kept = judged.is_kept() && !is_beyond(verdict);
        made.feasible = cures && made.is_kept && is_good(judged, baked.traces);
        made.energy = energy_of(run_, baked.set);
        made.largest_use = requirements_.largest_use(baked.traces);
        if (made.feasible) made.margin_k = margins_of(baked, model_).smallest_k();
        std::ranges::copy_if(verdict.zones, std::back_inserter(made.bad_zones),
                             [](const cure::ZoneVerdict& zone) { return zone.word != Word::good; });
        std::ranges::copy_if(verdict.items, std::back_inserter(made.bad_items),
                             [&](const cure::ItemVerdict& item) { return is_in_the_way(item); });
        std::ranges::copy_if(verdict.warnings, std::back_inserter(made.warnings),
                             [](const cure::HeatWarning& one) { return stands_against(one); });
        made.bad_coats = std::move(judged.coats);
        made.difference = std::move(judged.difference);
        made.difference_is_too_large = judged.difference_is_too_large;
        return made;
    }

    /// Near its limit an item is in the way only where no chance is asked for.
    [[nodiscard]] bool is_in_the_way(cure::ItemVerdict item) const {
        if (sure_ && item.word != Word::not_judged) {
            for (cure::LimitReading& limit : item.limits) limit.near = false;
            item.word = cure::item_word(item);
        }
        return stands_against(item);
    }
    /// By the middle of the model. Where a chance is asked for, an item near its limit is a matter of that.
    [[nodiscard]] bool is_good(const Judged& judged, const TraceSet& traces) const {
        if (!sure_) return judged.all_good();
        const auto& zones = judged.verdict.zones;
        return std::ranges::all_of(zones, [](const auto& zone) { return zone.word == Word::good; }) &&
               requirements_.spared(traces).spare >= 0.0;
    }
    /// Hotter than anything the sheet speaks of: CHECK at best, and no hold mends it.
    [[nodiscard]] static bool is_beyond(const cure::BakeVerdict& verdict) {
        return std::ranges::any_of(verdict.zones, [](const cure::ZoneVerdict& zone) { return zone.is_beyond_sheet; });
    }

    Sides sides(double hold_s) { return sides_of(margins_of(run_.bake(hold_s), model_)); }

    /// The longest hold that still spares everything, in whole minutes; `from_s` does.
    double longest_sparing_s(double from_s) {
        const double longest_s = down_to_minute_s(model_.options().longest_hold_s);
        if (longest_s <= from_s) return from_s;
        const HoldBound bound = where_spared(run_, requirements_, from_s, longest_s, kMarginHoldErrorS);
        if (bound.kind == HoldBound::Kind::met_always) return longest_s;
        return bound.kind == HoldBound::Kind::turns ? std::max(down_to_minute_s(bound.turn.before_s), from_s) : from_s;
    }

    /// The hold, within two, from which a side is no longer the narrower one, or has reached what is wanted.
    template <class Spare>
    double hold_where(const Spare& spare, double low_s, double high_s) {
        const auto standing = [&](double hold_s) { return Standing{spare(sides(hold_s)), {}, Word::good}; };
        const Standing low = standing(low_s), high = standing(high_s);
        if (low.spare >= 0.0) return low_s;
        if (high.spare < 0.0) return high_s;
        return up_to_minute_s(turn_between(standing, low_s, low, high_s, high, kMarginHoldErrorS).after_s);
    }

    Candidate widest(const Candidate& shortest) {
        const double from_s = *shortest.hold_s, until_s = longest_sparing_s(from_s);
        const double balanced_s =
            std::min(hold_where([](const Sides& at) { return at.cure_k - at.spare_k; }, from_s, until_s), until_s);
        const double widest_k = sides(balanced_s).narrower_k();
        const double enough_s = std::min(
            hold_where([&](const Sides& at) { return at.cure_k - (widest_k - kNearlyWidestK); }, from_s, balanced_s), until_s);
        Candidate found = candidate(enough_s, true);
        return found.feasible && found.margin_k > shortest.margin_k ? found : shortest;
    }

    const SearchModel& model_;
    const Requirements& requirements_;
    SetpointRun run_;
    std::optional<SureHolds> sure_;
};

/// The index of the feasible candidate that is first in an order.
template <class Before>
std::optional<std::size_t> first_feasible(const std::vector<Offer>& offers, Objective objective, const Before& before) {
    std::optional<std::size_t> first;
    for (std::size_t i = 0; i < offers.size(); ++i) {
        const Candidate& here = candidate_for(offers[i], objective);
        if (here.feasible && (!first || before(here, candidate_for(offers[*first], objective)))) first = i;
    }
    return first;
}

std::optional<std::size_t> coolest_of_the_shortest(const std::vector<Offer>& offers) {
    const auto quickest = first_feasible(offers, Objective::time,
                                         [](const Candidate& a, const Candidate& b) { return a.booth_time_s < b.booth_time_s; });
    if (!quickest) return quickest;
    const double enough_s = offers[*quickest].shortest.booth_time_s * (1.0 + kNearlyShortest);
    return first_feasible(offers, Objective::time, [&](const Candidate& a, const Candidate& b) {
        return a.booth_time_s <= enough_s && (b.booth_time_s > enough_s || a.setpoint_k < b.setpoint_k);
    });
}

std::optional<std::size_t> shortest_of_the_widest(const std::vector<Offer>& offers) {
    const auto widest =
        first_feasible(offers, Objective::margin, [](const Candidate& a, const Candidate& b) { return a.margin_k > b.margin_k; });
    if (!widest) return widest;
    const double enough_k = candidate_for(offers[*widest], Objective::margin).margin_k - kNearlyWidestK;
    return first_feasible(offers, Objective::margin, [&](const Candidate& a, const Candidate& b) {
        return a.margin_k >= enough_k && (b.margin_k < enough_k || a.booth_time_s < b.booth_time_s);
    });
}

}  // namespace

Offer offer_of(const SearchModel& model, const Requirements& requirements, double setpoint_k, double ramp_k_per_s) {
    return CandidateMaker(model, requirements, setpoint_k, ramp_k_per_s).offer();
}

const Candidate& candidate_for(const Offer& offer, Objective objective) {
    return objective == Objective::margin && offer.widest ? *offer.widest : offer.shortest;
}

std::optional<std::size_t> choose(const std::vector<Offer>& offers, Objective objective) {
    switch (objective) {
        case Objective::time:
            return coolest_of_the_shortest(offers);
        case Objective::energy:
            return first_feasible(offers, objective,
                                  [](const Candidate& a, const Candidate& b) { return a.energy.total_j < b.energy.total_j; });
        case Objective::least_use:
            return first_feasible(offers, objective, [](const Candidate& a, const Candidate& b) {
                return a.largest_use != b.largest_use ? a.largest_use < b.largest_use : a.booth_time_s < b.booth_time_s;
            });
        case Objective::margin:
            return shortest_of_the_widest(offers);
    }
    return std::nullopt;
}

}  // namespace bakewright::plan
