// SPDX-License-Identifier: Apache-2.0
#include "ensemble_readings.hpp"

#include <algorithm>
#include <cmath>

#include "bakewright/cure/dose.hpp"
#include "bakewright/cure/rule.hpp"

namespace bakewright::plan {
namespace {

using thermal::Reading;
using Kind = Reading::Kind;

constexpr double kTableStepK = 0.25;
constexpr double kTableSpanK = 250.0;

/// Rates as a table. The rate's jump at the floor becomes a line over the step below it.
std::shared_ptr<const thermal::TabulatedFunction> table_of(const cure::RequiredTime& required) {
    thermal::TabulatedFunction table{required.floor_k() - kTableStepK, kTableStepK, {0.0}};
    for (double above_k = 0.0; above_k <= kTableSpanK; above_k += kTableStepK)
        table.value.push_back(required.rate_per_s(required.floor_k() + above_k));
    return std::make_shared<const thermal::TabulatedFunction>(std::move(table));
}

double at_energy(const cure::Band& band, std::size_t energy) {
    return energy == 0 ? band.at_low : energy == 1 ? band.at_value : band.at_high;
}

/// In the part of a broken bake that was had.
double exposed_before_break_s(const TraceSet* before, const std::string& item, const cure::ExposureLimit& limit) {
    const Trace* trace = before == nullptr ? nullptr : before->find(item);
    return trace == nullptr ? 0.0 : cure::stay_at_or_above(cure::JoinedTrace(*trace), limit.temperature_k).total_s;
}

/// An earlier coat's over-bake dose in the part of a broken bake that was had.
cure::Band dose_before_break(const TraceSet* before, const cure::CoatingCurves& curves, const std::string& zone) {
    if (before == nullptr || !curves.maximum) return {};
    const bool by_air = curves.coating.basis == cure::ScheduleBasis::booth_air;
    const Trace* trace = by_air ? before->first(TraceRole::booth_air) : before->find(zone);
    return trace == nullptr ? cure::Band{} : cure::dose_band(cure::JoinedTrace(*trace), *curves.maximum).dose;
}

}  // namespace

double OverBakeColumns::chance(std::span<const double> row) const {
    const cure::Coating& coating = curves->coating;
    if (coating.absolute_maximum_k && row[peak] > *coating.absolute_maximum_k) return 1.0;
    double sum = 0.0;
    for (std::size_t i = 0; i < doses.size(); ++i)
        if (at_energy(had, i) + row[doses[i]] > 1.0 + cure::kDoseRounding) sum += cure::kEnergyWeights[i];
    return sum;
}

double OverBakeColumns::spare_s(std::span<const double> row) const {
    if (curves->coating.absolute_maximum_k && row[peak] > *curves->coating.absolute_maximum_k) return -kNever_s;
    double least_s = kNever_s;
    for (std::size_t i = 0; i < doses.size(); ++i) {
        const double rate = (*curves->maximum)[i].rate_per_s(row[peak]);
        if (rate > 0.0) least_s = std::min(least_s, (1.0 - at_energy(had, i) - row[doses[i]]) / rate);
    }
    return least_s;
}

bool ItemColumns::passed(std::size_t limit, std::span<const double> row) const {
    const auto& [column, at] = limits[limit];
    return cure::passes(at, had_s[limit] + row[column], row[peak] >= at.temperature_k);
}

cure::MemberChance ItemColumns::words(std::span<const double> row) const {
    for (std::size_t limit = 0; limit < limits.size(); ++limit)
        if (cure::makes_over(limits[limit].second) && passed(limit, row)) return {0.0, 1.0, 1.0};
    // A layer inside is cooler than the face it is judged on: it may have passed its limit, and may not.
    if (passed_any(row)) return {0.5, 0.5, 1.0};
    return {1.0, 0.0, 1.0};
}

bool ItemColumns::passed_any(std::span<const double> row) const {
    for (std::size_t limit = 0; limit < limits.size(); ++limit)
        if (cure::changes_word(limits[limit].second) && passed(limit, row)) return true;
    return false;
}

double ItemColumns::spare_s(std::span<const double> row) const {
    double least_s = kNever_s;
    for (std::size_t i = 0; i < limits.size(); ++i) {
        const auto& [column, at] = limits[i];
        // Of a limit that was never reached no hold near this one says when it would be.
        if (!cure::changes_word(at) || row[peak] < at.temperature_k) continue;
        least_s = std::min(least_s, at.allowed_s - had_s[i] - std::max(row[column], 1.0));
    }
    return least_s;
}

EnsembleReadings::EnsembleReadings(const bake::BuiltNetwork& built, const bake::Shell& shell, const cure::Coating& coating,
                                   const std::vector<cure::HeatSensitiveItem>& items, const PastHeat& past)
    : built_(built), curves_(coating) {
    if (coating.basis == cure::ScheduleBasis::booth_air)
        if (const bake::TraceOrigin* air = air_origin()) air_place_ = watch(air->name, air->at);
    const std::vector<std::string> coated = shell.coated_place_names();
    for (const bake::TraceOrigin& origin : built.origins) {
        if (origin.role == TraceRole::zone || origin.role == TraceRole::test_panel)
            add_zone(origin, std::find(coated.begin(), coated.end(), origin.name) != coated.end());
        const auto item = std::find_if(items.begin(), items.end(), [&](const auto& i) { return i.name == origin.name; });
        if (item != items.end()) add_item(origin, *item, past);
    }
    if (past.so_far != nullptr) add_earlier_coats(*past.so_far, past.before);
    if (past.largest_difference_k) add_bonds(shell);
}

std::size_t EnsembleReadings::watch(const std::string& name, const thermal::Following& at) {
    watched_.push_back({name, at, {}});
    return watched_.size() - 1;
}

/// On the place watched last.
Column EnsembleReadings::read(Reading reading) {
    watched_.back().readings.push_back(std::move(reading));
    return next_++;
}

const bake::TraceOrigin* EnsembleReadings::origin_of(const std::string& name) const {
    const auto found = std::find_if(built_.origins.begin(), built_.origins.end(),
                                    [&](const bake::TraceOrigin& one) { return one.name == name; });
    return found == built_.origins.end() ? nullptr : &*found;
}

const bake::TraceOrigin* EnsembleReadings::air_origin() const {
    const auto found = std::find_if(built_.origins.begin(), built_.origins.end(),
                                    [](const bake::TraceOrigin& one) { return one.role == TraceRole::booth_air; });
    return found == built_.origins.end() ? nullptr : &*found;
}

OverBakeColumns EnsembleReadings::over_bake(const cure::CoatingCurves& curves, const bake::TraceOrigin& face) {
    OverBakeColumns columns;
    columns.curves = &curves;
    columns.peak = read({Kind::highest_temperature});
    if (!curves.maximum) return columns;
    const bool by_air = curves.coating.basis == cure::ScheduleBasis::booth_air;
    if (const bake::TraceOrigin* air = by_air ? air_origin() : nullptr) watch(face.name, air->at);
    for (const cure::RequiredTime& allowed : *curves.maximum)
        columns.doses.push_back(read({Kind::integral, 0.0, table_of(allowed)}));
    return columns;
}

void EnsembleReadings::add_zone(const bake::TraceOrigin& origin, bool coated) {
    ZoneColumns zone{origin.name, origin.role, coated};
    zone.place = watch(origin.name, origin.at);
    zone.schedule_place = coated && air_place_ ? *air_place_ : zone.place;
    if (coated) {
        zone.over_bake = over_bake(curves_, origin);
        zone.peak = zone.over_bake.peak;
    } else {
        zone.peak = read({Kind::highest_temperature});
    }
    zones_.push_back(std::move(zone));
}

void EnsembleReadings::add_item(const bake::TraceOrigin& origin, const cure::HeatSensitiveItem& item, const PastHeat& past) {
    ItemColumns columns;
    columns.item = item.name;
    columns.place = watch(origin.name, origin.at);
    columns.peak = read({Kind::highest_temperature});
    const ItemSoFar* had = past.so_far == nullptr ? nullptr : past.so_far->find_item(item.name);
    for (std::size_t i = 0; i < item.limits.size(); ++i) {
        const cure::ExposureLimit& limit = item.limits[i];
        columns.limits.emplace_back(read({Kind::total_time_at_or_above, limit.temperature_k}), limit);
        const bool adds_up = had != nullptr && limit.scope == cure::ExposureScope::lifetime && i < had->exposed_s.size();
        columns.had_s.push_back((adds_up ? had->exposed_s[i] : 0.0) + exposed_before_break_s(past.before, item.name, limit));
    }
    items_.push_back(std::move(columns));
}

void EnsembleReadings::add_earlier_coats(const SoFar& so_far, const TraceSet* before) {
    for (const CoatSoFar& coat : so_far.coats) {
        const bake::TraceOrigin* face = origin_of(coat.zone);
        if (face == nullptr) continue;
        const cure::CoatingCurves& curves = *earlier_curves_.emplace_back(std::make_unique<cure::CoatingCurves>(*coat.coating));
        const Phrase subject = Phrase(coat.coat + " on ").add_place(coat.zone);
        watch(subject.text(), face->at);
        EarlierColumns columns{subject, over_bake(curves, *face)};
        const cure::Band cut = dose_before_break(before, curves, coat.zone), had = coat.over_bake_dose;
        columns.over_bake.had = {had.at_low + cut.at_low, had.at_value + cut.at_value, had.at_high + cut.at_high};
        earlier_.push_back(std::move(columns));
    }
}

void EnsembleReadings::add_bonds(const bake::Shell& shell) {
    for (const BondedPair& pair : bonded_pairs(shell)) {
        const bake::TraceOrigin *metal = origin_of(pair.metal), *laminate = origin_of(pair.laminate);
        if (metal == nullptr || laminate == nullptr) continue;
        BondColumns columns{Phrase::place(pair.laminate).add(" against ").add_place(pair.metal)};
        watch(columns.subject.text(), metal->at);
        watched_.back().than = laminate->at;
        columns.warmer = read({Kind::highest_temperature});
        watch(columns.subject.text(), laminate->at);
        watched_.back().than = metal->at;
        columns.cooler = read({Kind::highest_temperature});
        bonds_.push_back(std::move(columns));
    }
}

}  // namespace bakewright::plan
