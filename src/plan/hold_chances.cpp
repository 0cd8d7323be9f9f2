#include "hold_chances.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "bakewright/cure/dose.hpp"
#include "bakewright/cure/required_time.hpp"
#include "ensemble_members.hpp"
#include "hold_readings.hpp"

namespace bakewright::plan {
namespace {

constexpr double kNever = std::numeric_limits<double>::infinity();
using Row = std::span<const double>;
using thermal::Reading;

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
            from_s = std::min(from_s, by_dose_s(zone.doses, needed_, row[zone.dose_peak], row));
        return from_s;
    }
    [[nodiscard]] double over_baked_from_s(const ZoneColumns& zone, Row row) const {
        return zone.over_baked(row) ? by_dose_s(zone.over_bake_doses, allowed_, row[zone.dose_peak], row) : kNever;
    }
    [[nodiscard]] double over_baked_from_s(const EarlierColumns& coat, Row row) const {
        double from_s = -kNever;
        for (std::size_t i = 0; i < coat.doses.size(); ++i) {
            const double over = coat.before[i] + row[coat.doses[i]] - 1.0;
            if (!(over > 0.0)) return kNever;
            from_s = std::max(from_s, earned_before_s(over, coat.allowed[i], row[coat.peak]));
        }
        return from_s;
    }
    [[nodiscard]] double allowed_until_s(const HotColumn& hot, Row row) const {
        return row[hot.above] > hot.allowed_s ? longest_s_ - (row[hot.above] - hot.allowed_s) : kNever;
    }

private:
    /// Over the band of the activation energy the latest counts.
    double by_dose_s(const std::vector<Column>& doses, const std::vector<cure::RequiredTime>& curves, double peak_k,
                     Row row) const {
        double from_s = -kNever;
        for (std::size_t i = 0; i < doses.size() && i < curves.size(); ++i)
            from_s = std::max(from_s, earned_before_s(row[doses[i]] - 1.0, curves[i], peak_k));
        return from_s;
    }
    /// The hold without which a dose would be less by `over`: that was earned last, at the rate of the peak.
    double earned_before_s(double over, const cure::RequiredTime& curve, double peak_k) const {
        const double rate = curve.rate_per_s(peak_k);
        return longest_s_ - (rate > 0.0 ? over / rate : 0.0);
    }

    double longest_s_;
    CureRule rule_;
    std::vector<cure::RequiredTime> needed_, allowed_;
};

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

/// The largest of the readings of a row, corrected by what the middle of the model reads exactly.
bool is_past(const StandingColumns& standing, Row row, Row middle) {
    const auto largest = [&](Row of) {
        double value = -kNever;
        for (const Column column : standing.either) value = std::max(value, of[column]);
        return value;
    };
    const double read = largest(row), read_of_middle = largest(middle);
    if (!standing.by_ratio) return read + (standing.exact - read_of_middle) > standing.limit;
    return read_of_middle > 0.0 && read * (standing.exact / read_of_middle) > standing.limit;
}

/// What a member needs and allows, as read on the ensemble's grid.
class MemberReader {
public:
    MemberReader(const HoldReadings& readings, const HoldOfRow& holds, Row middle, std::size_t first_over)
        : readings_(readings), holds_(holds), middle_(middle), first_over_(first_over) {}

    [[nodiscard]] MemberHolds operator()(Row row) const {
        MemberHolds member{0.0, kNever, 0, 0};
        for (std::size_t zone = 0; zone < readings_.coated().size(); ++zone) {
            const ZoneColumns& columns = *readings_.coated()[zone];
            if (const double from_s = holds_.cured_from_s(columns, row); from_s > member.cured_from_s) {
                member.cured_from_s = from_s;
                member.last_zone = static_cast<std::uint32_t>(zone);
            }
            spare(member, holds_.over_baked_from_s(columns, row), first_over_ + zone);
        }
        for (const HotColumn& hot : readings_.hot()) spare(member, holds_.allowed_until_s(hot, row), hot.subject);
        for (const EarlierColumns& coat : readings_.earlier()) spare(member, holds_.over_baked_from_s(coat, row), coat.subject);
        for (const StandingColumns& standing : readings_.standing())
            if (is_past(standing, row, middle_)) spare(member, -kNever, standing.subject);
        return member;
    }

private:
    static void spare(MemberHolds& member, double until_s, std::size_t subject) {
        if (until_s >= member.spared_until_s) return;
        member.spared_until_s = until_s;
        member.first_hot = static_cast<std::uint32_t>(subject);
    }

    const HoldReadings& readings_;
    const HoldOfRow& holds_;
    Row middle_;
    std::size_t first_over_;
};

}  // namespace

HoldChances hold_chances(SetpointRun& run, const Settings& set, const Confidence& confidence, double hold_s) {
    const BakeModel& model = run.model();
    const HoldReadings readings(model, run.bake(hold_s));
    const thermal::EnsembleResult result = solve(model, set, confidence, readings);
    const HoldOfRow holds(model, set.hold_s);
    HoldChances made;
    for (const ZoneColumns* zone : readings.coated()) made.zones.push_back(zone->zone);
    made.subjects = readings.subjects();
    const MemberReader read(readings, holds, result.row(0), made.subjects.size());
    for (const std::string& zone : made.zones) made.subjects.push_back(Phrase::place(zone));
    made.zone_cured_from_s.resize(made.zones.size());
    const double middle_s = read(result.row(0)).cured_from_s;
    // At the shortest hold that is tried the middle may be cured long since: nothing is known of the difference then.
    const bool is_exact = std::isfinite(middle_s) && hold_s > model.options().shortest_hold_s;
    const double shift_s = is_exact ? hold_s - middle_s : 0.0;
    for (std::size_t i = 1; i < result.member_count(); ++i) {
        const Row row = result.row(i);
        for (std::size_t zone = 0; zone < made.zones.size(); ++zone)
            made.zone_cured_from_s[zone].push_back(holds.cured_from_s(*readings.coated()[zone], row) + shift_s);
        made.members.push_back(read(row));
        made.members.back().cured_from_s += shift_s;
    }
    return made;
}

}  // namespace bakewright::plan
