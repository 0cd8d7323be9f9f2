#include "ensemble_readings.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "bakewright/cure/dose.hpp"
#include "bakewright/cure/required_time.hpp"

namespace bakewright::plan {
namespace {

using thermal::Reading;
using Kind = Reading::Kind;

constexpr double kTableStepK = 0.25;
constexpr double kTableSpanK = 250.0;

/// Rates of cure as a table. The rate's jump at the floor becomes a line over the step below it.
std::shared_ptr<const thermal::TabulatedFunction> table_of(const cure::RequiredTime& required) {
    thermal::TabulatedFunction table{required.floor_k() - kTableStepK, kTableStepK, {0.0}};
    for (double above_k = 0.0; above_k <= kTableSpanK; above_k += kTableStepK)
        table.value.push_back(required.rate_per_s(required.floor_k() + above_k));
    return std::make_shared<const thermal::TabulatedFunction>(std::move(table));
}

/// Lays readings out one after the other, as the columns of a row lie.
class Layout {
public:
    explicit Layout(EnsembleReadings& readings) : watched_(readings.watched) {}

    std::size_t watch(const bake::TraceOrigin& origin) {
        watched_.push_back({origin.name, origin.at, {}});
        return watched_.size() - 1;
    }
    /// On the place watched last.
    Column read(Reading reading) {
        watched_.back().readings.push_back(std::move(reading));
        return next_++;
    }

private:
    std::vector<thermal::WatchedPlace>& watched_;
    Column next_ = 0;
};

/// Stays and doses on the place watched last.
struct CureTables {
    const cure::Coating& coating;
    std::vector<std::shared_ptr<const thermal::TabulatedFunction>> doses, over_bake;

    void read(Layout& layout, ZoneColumns& zone) const {
        for (const cure::ScheduleRow& row : coating.schedule)
            zone.stays_s.emplace_back(layout.read({Kind::longest_time_at_or_above, row.temperature_k}), row.minimum_s);
        for (const auto& table : doses) zone.doses.push_back(layout.read({Kind::integral, 0.0, table}));
        for (const auto& table : over_bake) zone.over_bake_doses.push_back(layout.read({Kind::integral, 0.0, table}));
    }
};

bool is_coated(const bake::Shell& shell, const std::string& zone) {
    const std::vector<std::string> names = shell.coated_zone_names();
    return std::find(names.begin(), names.end(), zone) != names.end();
}

void add_zone(EnsembleReadings& readings, Layout& layout, const bake::TraceOrigin& origin, bool coated, const CureTables& cure,
              const ZoneColumns* air) {
    ZoneColumns zone{origin.name, origin.role, coated, 0,  0,
                     0,           {},          {},     {}, cure.coating.activation_energy || cure.coating.schedule.size() >= 2};
    zone.place = layout.watch(origin);
    zone.peak = zone.dose_peak = layout.read({Kind::highest_temperature});
    if (coated && air) {
        zone.dose_peak = air->dose_peak;
        zone.stays_s = air->stays_s;
        zone.doses = air->doses;
        zone.over_bake_doses = air->over_bake_doses;
    } else if (coated) {
        cure.read(layout, zone);
    }
    readings.zones.push_back(std::move(zone));
}

void add_item(EnsembleReadings& readings, Layout& layout, const bake::TraceOrigin& origin, const cure::HeatSensitiveItem& item) {
    ItemColumns columns{item.name, layout.watch(origin), layout.read({Kind::highest_temperature}), {}};
    for (const cure::ExposureLimit& limit : item.limits)
        columns.limits.emplace_back(layout.read({Kind::total_time_at_or_above, limit.temperature_k}), limit);
    readings.items.push_back(std::move(columns));
}

}  // namespace

bool ZoneColumns::cured_by_time(std::span<const double> row) const {
    return std::any_of(stays_s.begin(), stays_s.end(), [&](const auto& stay) { return row[stay.first] >= stay.second; });
}
bool ZoneColumns::cured_by_dose(std::span<const double> row) const {
    return !doses.empty() && std::all_of(doses.begin(), doses.end(), [&](Column dose) { return row[dose] >= 1.0; });
}
bool ZoneColumns::cured(std::span<const double> row) const {
    return cured_by_time(row) || (dose_is_enough && cured_by_dose(row));
}
bool ZoneColumns::over_baked(std::span<const double> row) const {
    return !over_bake_doses.empty() &&
           std::all_of(over_bake_doses.begin(), over_bake_doses.end(), [&](Column dose) { return row[dose] > 1.0; });
}
cure::EnsembleMember ZoneColumns::words(std::span<const double> row, bool too_hot) const {
    const bool by_time = cured_by_time(row);
    cure::EnsembleMember member;
    for (std::size_t i = 0; i < cure::kEnergyWeights.size(); ++i) {
        const double weight = cure::kEnergyWeights[i];
        if (too_hot || (!over_bake_doses.empty() && row[over_bake_doses[i]] > 1.0))
            member.too_much += weight;
        else if (by_time)
            member.cured += weight;
        else if (!doses.empty() && row[doses[i]] >= 1.0)
            member.cured += dose_is_enough ? weight : 0.5 * weight;
    }
    return member;
}
double ZoneColumns::missing_s(std::span<const double> row) const {
    double least_s = std::numeric_limits<double>::infinity();
    for (const auto& [column, minimum_s] : stays_s)
        if (row[column] > 0.0) least_s = std::min(least_s, minimum_s - row[column]);
    return cured(row) ? 0.0 : std::max(least_s, 0.0);
}

bool ItemColumns::passed(std::size_t limit, std::span<const double> row) const {
    const auto& [column, at] = limits[limit];
    return at.allowed_s > 0.0 ? row[column] > at.allowed_s : row[peak] >= at.temperature_k;
}
bool ItemColumns::passed_any(std::span<const double> row) const {
    for (std::size_t limit = 0; limit < limits.size(); ++limit)
        if (limits[limit].second.kind == cure::LimitKind::never && passed(limit, row)) return true;
    return false;
}

std::vector<std::shared_ptr<const thermal::TabulatedFunction>> dose_tables(const cure::Coating& coating,
                                                                           const std::vector<cure::SchedulePoint>& points,
                                                                           cure::BeyondLastPoint beyond) {
    std::vector<std::shared_ptr<const thermal::TabulatedFunction>> tables;
    if (points.empty()) return tables;
    const cure::ActivationEnergy energy = cure::choose_activation_energy(coating).energy;
    for (const double at : {energy.low_j_per_mol, energy.value_j_per_mol, energy.high_j_per_mol})
        tables.push_back(table_of(cure::RequiredTime(points, at, coating.floor_k, beyond)));
    return tables;
}

EnsembleReadings readings_for(const bake::BuiltNetwork& built, const bake::Shell& shell, const cure::Coating& coating,
                              const std::vector<cure::HeatSensitiveItem>& items) {
    EnsembleReadings readings;
    Layout layout(readings);
    const CureTables tables{coating, dose_tables(coating, cure::minimum_points(coating), cure::BeyondLastPoint::keep_rate),
                            dose_tables(coating, cure::maximum_points(coating), cure::BeyondLastPoint::go_on)};
    ZoneColumns air;
    const bool judges_air = coating.basis == cure::ScheduleBasis::booth_air;
    for (const bake::TraceOrigin& origin : built.origins) {
        if (!judges_air || origin.role != TraceRole::booth_air) continue;
        layout.watch(origin);
        air.dose_peak = layout.read({Kind::highest_temperature});
        tables.read(layout, air);
    }
    for (const bake::TraceOrigin& origin : built.origins) {
        if (origin.role == TraceRole::zone || origin.role == TraceRole::test_panel)
            add_zone(readings, layout, origin, is_coated(shell, origin.name), tables, judges_air ? &air : nullptr);
        const auto item = std::find_if(items.begin(), items.end(), [&](const auto& i) { return i.name == origin.name; });
        if (item != items.end()) add_item(readings, layout, origin, *item);
    }
    return readings;
}

}  // namespace bakewright::plan
