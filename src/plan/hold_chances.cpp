#include "hold_chances.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "bakewright/cure/dose.hpp"
#include "bakewright/cure/readings.hpp"
#include "bakewright/cure/required_time.hpp"
#include "ensemble_members.hpp"
#include "ensemble_readings.hpp"

namespace bakewright::plan {
namespace {

constexpr double kNever = std::numeric_limits<double>::infinity();
using Row = std::span<const double>;
using thermal::Reading;

/// How long a member was at or above a limit, and what that allows.
struct HotColumn {
    Column above = 0;
    double allowed_s = 0.0;  ///< of this bake
    std::uint32_t subject = 0;
};

/// The readings of an ensemble that holds are read from.
class HoldReadings {
public:
    HoldReadings(const BakeModel& model, const std::vector<std::pair<std::string, double>>& overshoot_k)
        : model_(model), readings_(readings_for(model.built(), model.task().shell, model.task().coating, {})) {
        for (const thermal::WatchedPlace& place : readings_.watched) next_ += place.readings.size();
        for (const ZoneColumns& zone : readings_.zones) add(zone);
        for (const cure::HeatSensitiveItem& item : model.task().items) add(item, overshoot_k);
    }

    [[nodiscard]] const std::vector<thermal::WatchedPlace>& watched() const noexcept { return readings_.watched; }
    [[nodiscard]] const std::vector<const ZoneColumns*>& coated() const noexcept { return coated_; }
    [[nodiscard]] const std::vector<HotColumn>& hot() const noexcept { return hot_; }
    [[nodiscard]] const std::vector<std::string>& subjects() const noexcept { return subjects_; }

private:
    void add(const ZoneColumns& zone) {
        if (!zone.coated) return;
        coated_.push_back(&zone);
        const auto absolute_maximum_k = model_.task().coating.absolute_maximum_k;
        if (absolute_maximum_k) watch(zone.zone, {{*absolute_maximum_k, 0.0}});
    }
    void add(const cure::HeatSensitiveItem& item, const std::vector<std::pair<std::string, double>>& overshoot_k) {
        const auto gain =
            std::find_if(overshoot_k.begin(), overshoot_k.end(), [&](const auto& one) { return one.first == item.name; });
        const ItemSoFar* had = model_.task().so_far == nullptr ? nullptr : model_.task().so_far->find_item(item.name);
        std::vector<std::pair<double, double>> limits;
        for (std::size_t i = 0; i < item.limits.size(); ++i) {
            const cure::ExposureLimit& limit = item.limits[i];
            const bool adds_up = had != nullptr && limit.scope == cure::ExposureScope::lifetime;
            const double before_s = (adds_up ? exposed_before_s(*had, i) : 0.0) + exposed_before_break_s(item.name, limit);
            const bool never = limit.allowed_s <= 0.0;
            limits.emplace_back(limit.temperature_k - (never && gain != overshoot_k.end() ? gain->second : 0.0),
                                std::max(limit.allowed_s - before_s, 0.0));
        }
        watch(item.name, limits);
    }
    static double exposed_before_s(const ItemSoFar& had, std::size_t limit);
    /// In the part of a broken bake that was had.
    [[nodiscard]] double exposed_before_break_s(const std::string& item, const cure::ExposureLimit& limit) const {
        const Trace* trace = model_.task().before == nullptr ? nullptr : model_.task().before->find(item);
        return trace == nullptr ? 0.0 : cure::stay_at_or_above(cure::JoinedTrace(*trace), limit.temperature_k).total_s;
    }

    void watch(const std::string& name, const std::vector<std::pair<double, double>>& limits) {
        const auto& origins = model_.built().origins;
        const auto origin =
            std::find_if(origins.begin(), origins.end(), [&](const bake::TraceOrigin& one) { return one.name == name; });
        if (origin == origins.end()) return;
        readings_.watched.push_back({origin->name, origin->at, {}});
        for (const auto& [temperature_k, allowed_s] : limits) {
            readings_.watched.back().readings.push_back({Reading::Kind::total_time_at_or_above, temperature_k, {}});
            hot_.push_back({next_++, allowed_s, static_cast<std::uint32_t>(subjects_.size())});
        }
        subjects_.push_back(name);
    }

    const BakeModel& model_;
    EnsembleReadings readings_;
    std::vector<const ZoneColumns*> coated_;
    std::vector<HotColumn> hot_;
    std::vector<std::string> subjects_;
    Column next_ = 0;
};

double HoldReadings::exposed_before_s(const ItemSoFar& had, std::size_t limit) {
    return limit < had.exposed_s.size() ? had.exposed_s[limit] : 0.0;
}

/// From a member's readings of the longest hold to the holds that it needs and allows.
class HoldOfRow {
public:
    HoldOfRow(const BakeModel& model, double longest_s) : longest_s_(longest_s), rule_(model.options().rule) {
        const cure::Coating& coating = model.task().coating;
        const auto energy = cure::choose_activation_energy(coating).energy;
        for (const double at : {energy.low_j_per_mol, energy.value_j_per_mol, energy.high_j_per_mol}) {
            needed_.emplace_back(cure::minimum_points(coating), at, coating.floor_k, cure::BeyondLastPoint::keep_rate);
            if (const auto points = cure::maximum_points(coating); !points.empty())
                allowed_.emplace_back(points, at, coating.floor_k, cure::BeyondLastPoint::go_on);
        }
    }

    [[nodiscard]] double cured_from_s(const ZoneColumns& zone, Row row) const {
        double from_s = kNever;
        for (const auto& [column, minimum_s] : zone.stays_s)
            if (row[column] >= minimum_s) from_s = std::min(from_s, longest_s_ - (row[column] - minimum_s));
        if (rule_ == CureRule::dose && zone.cured_by_dose(row))
            from_s = std::min(from_s, by_dose_s(zone.doses, needed_, zone, row));
        return from_s;
    }
    [[nodiscard]] double over_baked_from_s(const ZoneColumns& zone, Row row) const {
        return zone.over_baked(row) ? by_dose_s(zone.over_bake_doses, allowed_, zone, row) : kNever;
    }
    [[nodiscard]] double allowed_until_s(const HotColumn& hot, Row row) const {
        return row[hot.above] > hot.allowed_s ? longest_s_ - (row[hot.above] - hot.allowed_s) : kNever;
    }

private:
    /// What is over 1 was earned last, at the rate of the peak; over the band the latest counts.
    double by_dose_s(const std::vector<Column>& doses, const std::vector<cure::RequiredTime>& curves, const ZoneColumns& zone,
                     Row row) const {
        double from_s = -kNever;
        for (std::size_t i = 0; i < doses.size() && i < curves.size(); ++i) {
            const double rate = curves[i].rate_per_s(row[zone.peak]);
            const double at_s = longest_s_ - (rate > 0.0 ? (row[doses[i]] - 1.0) / rate : 0.0);
            from_s = std::max(from_s, at_s);
        }
        return from_s;
    }

    double longest_s_;
    CureRule rule_;
    std::vector<cure::RequiredTime> needed_, allowed_;
};

/// What items gain after the burner went off in the middle of the model.
std::vector<std::pair<std::string, double>> overshoot_k(const Baked& baked) {
    std::vector<std::pair<std::string, double>> gains;
    for (const Trace& trace : baked.traces.traces) {
        if (trace.role != TraceRole::item || trace.size() == 0) continue;
        const double at_end_k = temperature_at_k(trace, baked.begin_of_cool_s);
        const double peak_k = *std::max_element(trace.temperature_k.begin(), trace.temperature_k.end());
        gains.emplace_back(trace.name, std::isfinite(at_end_k) ? std::max(peak_k - at_end_k, 0.0) : 0.0);
    }
    return gains;
}

thermal::EnsembleResult solve(const BakeModel& model, const Settings& set, const Confidence& confidence,
                              const HoldReadings& readings) {
    EnsemblePredictOptions draws;
    draws.uncertainty = confidence.uncertainty;
    draws.seed = confidence.seed;
    const MemberDraw draw(model.built(), model.task().shell, model.task().booth, draws);
    // The first member is the middle of the model, by which the others are shifted.
    const auto generator = [&](std::size_t index, thermal::EnsembleMember& member) {
        if (index > 0) draw(index - 1, member);
    };
    thermal::EnsembleOptions options;
    options.member_count = confidence.member_count + 1;
    options.output_interval_s = model.options().predict.output_interval_s;
    options.largest_error_k = 0.02;
    options.quantile_levels.clear();
    options.thread_count = 1;  // set points go side by side
    const bake::Cycle cycle = model.shape().cycle(set, kFollowedCoolS);
    const auto segments =
        bake::cycle_segments(model.built(), model.task().booth, cycle, bake::resolve(cycle, model.task().booth), 0.0);
    return thermal::solve_ensemble(model.built().network, segments, readings.watched(), generator, options);
}

}  // namespace

HoldChances hold_chances(SetpointRun& run, const Settings& set, const Confidence& confidence, double hold_s) {
    const BakeModel& model = run.model();
    const HoldReadings readings(model, overshoot_k(run.bake(hold_s)));
    const thermal::EnsembleResult result = solve(model, set, confidence, readings);
    const HoldOfRow holds(model, set.hold_s);
    HoldChances made;
    for (const ZoneColumns* zone : readings.coated()) made.zones.push_back(zone->zone);
    made.subjects = readings.subjects();
    made.zone_cured_from_s.resize(made.zones.size());
    const std::size_t first_over = made.subjects.size();
    for (const std::string& zone : made.zones) made.subjects.push_back(zone);
    double shift_s = 0.0;
    for (std::size_t i = 0; i < result.member_count(); ++i) {
        const Row row = result.row(i);
        MemberHolds member{0.0, kNever, 0, 0};
        for (std::size_t zone = 0; zone < made.zones.size(); ++zone) {
            const ZoneColumns& columns = *readings.coated()[zone];
            const double from_s = holds.cured_from_s(columns, row);
            if (i > 0) made.zone_cured_from_s[zone].push_back(from_s + shift_s);
            if (from_s > member.cured_from_s) {
                member.cured_from_s = from_s;
                member.last_zone = static_cast<std::uint32_t>(zone);
            }
            if (const double over_s = holds.over_baked_from_s(columns, row); over_s < member.spared_until_s) {
                member.spared_until_s = over_s;
                member.first_hot = static_cast<std::uint32_t>(first_over + zone);
            }
        }
        for (const HotColumn& hot : readings.hot())
            if (const double until_s = holds.allowed_until_s(hot, row); until_s < member.spared_until_s) {
                member.spared_until_s = until_s;
                member.first_hot = hot.subject;
            }
        if (i == 0) {
            // At the shortest hold that is tried the middle may be cured long since: nothing is known of the difference then.
            if (std::isfinite(member.cured_from_s) && hold_s > model.options().shortest_hold_s)
                shift_s = hold_s - member.cured_from_s;
            continue;
        }
        member.cured_from_s += shift_s;
        made.members.push_back(member);
    }
    return made;
}

}  // namespace bakewright::plan
