#include "hold_readings.hpp"

#include <algorithm>
#include <cmath>

#include "bakewright/cure/coating_curves.hpp"
#include "bakewright/cure/dose.hpp"
#include "bakewright/cure/judge.hpp"
#include "bakewright/cure/readings.hpp"
#include "bakewright/plan/bonded.hpp"

namespace bakewright::plan {
namespace {

using Kind = thermal::Reading::Kind;

/// What an item gains after the burner went off.
double overshoot_k(const Baked& baked, const std::string& item) {
    const Trace* trace = baked.traces.find(item);
    if (trace == nullptr || trace->size() == 0) return 0.0;
    const double at_end_k = temperature_at_k(*trace, baked.begin_of_cool_s);
    const double peak_k = *std::max_element(trace->temperature_k.begin(), trace->temperature_k.end());
    return std::isfinite(at_end_k) ? std::max(peak_k - at_end_k, 0.0) : 0.0;
}

/// In the part of a broken bake that was had.
double exposed_before_break_s(const TraceSet* before, const std::string& item, const cure::ExposureLimit& limit) {
    const Trace* trace = before == nullptr ? nullptr : before->find(item);
    return trace == nullptr ? 0.0 : cure::stay_at_or_above(cure::JoinedTrace(*trace), limit.temperature_k).total_s;
}

/// An earlier coat's over-bake dose in the part of a broken bake that was had.
cure::Band dose_before_break(const TraceSet* before, const CoatSoFar& coat) {
    if (before == nullptr) return {};
    const bool by_air = coat.coating->basis == cure::ScheduleBasis::booth_air;
    const Trace* trace = by_air ? before->first(TraceRole::booth_air) : before->find(coat.zone);
    const cure::CoatingCurves curves(*coat.coating);
    return trace == nullptr || !curves.maximum ? cure::Band{} : cure::dose_band(cure::JoinedTrace(*trace), *curves.maximum).dose;
}

double exposed_in_history_s(const ItemSoFar* had, const cure::HeatSensitiveItem& item, std::size_t limit) {
    const bool adds_up = had != nullptr && item.limits[limit].scope == cure::ExposureScope::lifetime;
    return adds_up && limit < had->exposed_s.size() ? had->exposed_s[limit] : 0.0;
}

}  // namespace

HoldReadings::HoldReadings(const BakeModel& model, const Baked& middle)
    : model_(model), readings_(readings_for(model.built(), model.task().shell, model.task().coating, {})) {
    for (const thermal::WatchedPlace& place : readings_.watched) next_ += place.readings.size();
    for (const ZoneColumns& zone : readings_.zones) add_zone(zone);
    for (const cure::HeatSensitiveItem& item : model.task().items) add_item(item, middle);
    add_earlier_coats();
    if (model.options().largest_difference_k) add_bonds(middle);
    // How the heat came on in a bake that is gone on with is past.
    if (model.task().coating.largest_heating_rate_k_per_s && model.task().before == nullptr) add_heating_rates(middle);
}

void HoldReadings::add_zone(const ZoneColumns& zone) {
    if (!zone.coated) return;
    coated_.push_back(&zone);
    if (const auto absolute_maximum_k = model_.task().coating.absolute_maximum_k)
        watch_limits(zone.zone, {{*absolute_maximum_k, 0.0}});
}

void HoldReadings::add_item(const cure::HeatSensitiveItem& item, const Baked& middle) {
    const PlanTask& task = model_.task();
    const ItemSoFar* had = task.so_far == nullptr ? nullptr : task.so_far->find_item(item.name);
    std::vector<std::pair<double, double>> limits;
    for (std::size_t i = 0; i < item.limits.size(); ++i) {
        const cure::ExposureLimit& limit = item.limits[i];
        const double before_s = exposed_in_history_s(had, item, i) + exposed_before_break_s(task.before, item.name, limit);
        const bool never = limit.allowed_s <= 0.0;
        limits.emplace_back(limit.temperature_k - (never ? overshoot_k(middle, item.name) : 0.0),
                            std::max(limit.allowed_s - before_s, 0.0));
    }
    watch_limits(item.name, limits);
}

void HoldReadings::add_earlier_coats() {
    if (model_.task().so_far == nullptr) return;
    for (const CoatSoFar& coat : model_.task().so_far->coats) {
        const bake::TraceOrigin* face = origin_of(coat.zone);
        if (face == nullptr) continue;
        const Phrase name = Phrase(coat.coat + " on ").add_place(coat.zone);
        if (coat.coating->absolute_maximum_k) {
            watch(name.text(), face->at);
            hot_.push_back({read({Kind::total_time_at_or_above, *coat.coating->absolute_maximum_k}), 0.0, subject(name)});
        }
        const std::vector<cure::SchedulePoint> points = cure::maximum_points(*coat.coating);
        if (points.empty()) continue;
        const bool by_air = coat.coating->basis == cure::ScheduleBasis::booth_air;
        const auto& origins = model_.built().origins;
        const auto air = std::find_if(origins.begin(), origins.end(),
                                      [](const bake::TraceOrigin& one) { return one.role == TraceRole::booth_air; });
        watch(name.text(), by_air && air != origins.end() ? air->at : face->at);
        EarlierColumns columns;
        columns.peak = read({Kind::highest_temperature});
        for (const auto& table : dose_tables(*coat.coating, points, cure::BeyondLastPoint::go_on))
            columns.doses.push_back(read({Kind::integral, 0.0, table}));
        const cure::Band had = coat.over_bake_dose, cut = dose_before_break(model_.task().before, coat);
        columns.before = {had.at_low + cut.at_low, had.at_value + cut.at_value, had.at_high + cut.at_high};
        const auto energy = cure::choose_activation_energy(*coat.coating).energy;
        for (const double at : {energy.low_j_per_mol, energy.value_j_per_mol, energy.high_j_per_mol})
            columns.allowed.emplace_back(points, at, coat.coating->floor_k, cure::BeyondLastPoint::go_on);
        columns.subject = subject(name);
        earlier_.push_back(std::move(columns));
    }
}

void HoldReadings::add_bonds(const Baked& middle) {
    for (const BondedPair& pair : bonded_pairs(model_.task().shell)) {
        const bake::TraceOrigin *metal = origin_of(pair.metal), *laminate = origin_of(pair.laminate);
        const auto exact = largest_difference(middle.traces, {pair});
        if (metal == nullptr || laminate == nullptr || !exact) continue;
        const Phrase name = Phrase::place(pair.laminate).add(" against ").add_place(pair.metal);
        StandingColumns columns{{}, *model_.options().largest_difference_k, exact->size_k(), false, subject(name)};
        for (const auto& [warmer, cooler] : {std::pair(metal, laminate), std::pair(laminate, metal)}) {
            watch(name.text(), warmer->at);
            readings_.watched.back().than = cooler->at;
            columns.either.push_back(read({Kind::highest_temperature}));
        }
        standing_.push_back(std::move(columns));
    }
}

void HoldReadings::add_heating_rates(const Baked& middle) {
    const cure::Coating& coating = model_.task().coating;
    for (const ZoneColumns* zone : coated_) {
        const Trace* face = middle.traces.find(zone->zone);
        const bake::TraceOrigin* origin = origin_of(zone->zone);
        const auto rise = face == nullptr ? std::nullopt : cure::rise_before_schedule(*face, coating);
        if (origin == nullptr || !rise) continue;
        watch(zone->zone, origin->at);
        standing_.push_back({{read({Kind::largest_heating_rate})},
                             *coating.largest_heating_rate_k_per_s,
                             rise->rate_k_per_s,
                             true,
                             subject(Phrase("heating rate of ").add_place(zone->zone))});
    }
}

void HoldReadings::watch_limits(const std::string& name, const std::vector<std::pair<double, double>>& limits) {
    const bake::TraceOrigin* origin = origin_of(name);
    if (origin == nullptr) return;
    watch(name, origin->at);
    const std::size_t index = subject(Phrase::place(name));
    for (const auto& [temperature_k, allowed_s] : limits)
        hot_.push_back({read({Kind::total_time_at_or_above, temperature_k}), allowed_s, index});
}

const bake::TraceOrigin* HoldReadings::origin_of(const std::string& name) const {
    const auto& origins = model_.built().origins;
    const auto found =
        std::find_if(origins.begin(), origins.end(), [&](const bake::TraceOrigin& one) { return one.name == name; });
    return found == origins.end() ? nullptr : &*found;
}

void HoldReadings::watch(std::string name, const thermal::Following& at) {
    readings_.watched.push_back({std::move(name), at, {}});
}

Column HoldReadings::read(thermal::Reading reading) {
    readings_.watched.back().readings.push_back(std::move(reading));
    return next_++;
}

std::size_t HoldReadings::subject(Phrase name) {
    subjects_.push_back(std::move(name));
    return subjects_.size() - 1;
}

}  // namespace bakewright::plan
