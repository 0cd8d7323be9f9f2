#include "demands.hpp"

#include <algorithm>
#include <cmath>

#include "bakewright/cure/dose.hpp"
#include "bakewright/cure/judge.hpp"
#include "bakewright/cure/readings.hpp"

namespace bakewright::plan {
namespace {

using cure::JoinedTrace;
using cure::Word;

/// What a kelvin counts for beside seconds.
constexpr double kSecondsPerKelvin = 60.0;
/// As cure::judge_item().
constexpr double kNearK = 3.0;

double peak_k(const JoinedTrace& trace) { return cure::peak(trace)->temperature_k; }

/// @param had_s  exposure before, at the level of CHECK
double item_spare(const JoinedTrace& trace, const cure::ExposureLimit& limit, double had_s) {
    const double level_k = limit.temperature_k - kNearK;
    if (limit.allowed_s == 0.0) {
        const double below_k = level_k - peak_k(trace);
        return (below_k <= cure::kTemperatureRoundingK ? std::min(below_k, -1e-9) : below_k) * kSecondsPerKelvin;
    }
    return limit.allowed_s - had_s - cure::stay_at_or_above(trace, level_k).total_s;
}

const Trace& schedule_trace(const TraceSet& traces, const cure::Coating& coating, const Trace& face) {
    return coating.basis == cure::ScheduleBasis::booth_air ? *traces.first(TraceRole::booth_air) : face;
}

/// @param had  over-bake dose before
double too_much_spare(const Trace& schedule, const Trace& face, const cure::CoatingCurves& curves, double had) {
    double least = HUGE_VAL;
    if (curves.coating.absolute_maximum_k)
        least = (*curves.coating.absolute_maximum_k + cure::kTemperatureRoundingK - peak_k(face)) * kSecondsPerKelvin;
    if (curves.maximum) {
        const double over = had + cure::dose_band(schedule, *curves.maximum).dose.most();
        least = std::min(least, (1.0 + cure::kDoseRounding - over) * cure::maximum_points(curves.coating).front().time_s);
    }
    return least;
}

void take_least(Standing& least, double spare, const std::string& subject) {
    if (spare < least.spare) least = {spare, subject, Word::good};
}

}  // namespace

Demands::Demands(const PlanTask& task, const PlanOptions& options, const std::vector<std::string>& coated)
    : task_(task),
      rule_(options.rule),
      dose_may_cure_(options.rule == CureRule::dose && (task.coating.activation_energy || task.coating.schedule.size() > 1)),
      coated_(coated),
      curves_(task.coating),
      bonds_(bonded_pairs(task.shell)),
      largest_difference_k_(options.largest_difference_k) {
    if (task.so_far != nullptr) add_earlier_coats(task.shell, *task.so_far);
}

void Demands::add_earlier_coats(const bake::Shell& shell, const SoFar& so_far) {
    for (const CoatSoFar& coat : so_far.coats) {
        const auto curves = earlier_curves_.try_emplace(coat.coating, *coat.coating).first;
        const bool has_limit = coat.coating->absolute_maximum_k || curves->second.maximum;
        if (has_limit && shell.find_zone(coat.zone) != nullptr) earlier_.push_back({&coat, &curves->second});
    }
}

double Demands::cured_spare(const Trace& schedule) const {
    const JoinedTrace joined(schedule);
    double best = -HUGE_VAL;
    for (const cure::ScheduleRow& row : task_.coating.schedule) {
        const cure::StayReading stay = cure::stay_at_or_above(joined, row.temperature_k);
        const double lacking_k = stay.first_up_s ? 0.0 : row.temperature_k - peak_k(joined);
        best = std::max(best, stay.longest_s - row.minimum_s - lacking_k * kSecondsPerKelvin);
    }
    if (!dose_may_cure_ || best >= 0.0) return best;
    const double dose = cure::dose_band(joined, curves_.minimum).dose.least();
    return std::max(best, (dose - 1.0) * cure::reference_row(task_.coating).minimum_s);
}

Standing Demands::cured(const TraceSet& traces) const {
    Standing least{HUGE_VAL, {}, Word::good};
    if (task_.coating.basis == cure::ScheduleBasis::booth_air) {
        const double spare = cured_spare(*traces.first(TraceRole::booth_air));
        for (const std::string& zone : coated_) take_least(least, spare, zone);
        return least;
    }
    for (const std::string& zone : coated_) take_least(least, cured_spare(*traces.find(zone)), zone);
    return least;
}

void Demands::take_coats(Standing& least, const TraceSet& traces) const {
    for (const EarlierCoat& coat : earlier_) {
        const Trace& face = *traces.find(coat.had->zone);
        take_least(
            least,
            too_much_spare(schedule_trace(traces, *coat.had->coating, face), face, *coat.curves, coat.had->over_bake_dose.most()),
            coat.had->coat + " on " + coat.had->zone);
    }
}

void Demands::take_items(Standing& least, const TraceSet& traces) const {
    for (const cure::HeatSensitiveItem& item : task_.items) {
        const Trace* trace = traces.find(item.name);
        if (trace == nullptr) continue;
        const JoinedTrace joined(*trace);
        const ItemSoFar* had = task_.so_far == nullptr ? nullptr : task_.so_far->find_item(item.name);
        for (std::size_t i = 0; i < item.limits.size(); ++i)
            if (item.limits[i].kind != cure::LimitKind::warn)
                take_least(least, item_spare(joined, item.limits[i], had == nullptr ? 0.0 : had->exposed_at_margin_s.at(i)),
                           item.name);
    }
}

Standing Demands::spared(const TraceSet& traces) const {
    Standing least{HUGE_VAL, {}, Word::good};
    for (const std::string& zone : coated_) {
        const Trace& face = *traces.find(zone);
        take_least(least, too_much_spare(schedule_trace(traces, task_.coating, face), face, curves_, 0.0), zone);
    }
    take_items(least, traces);
    take_coats(least, traces);
    if (largest_difference_k_)
        if (const auto found = difference(traces))
            take_least(least, (*largest_difference_k_ - found->size_k()) * kSecondsPerKelvin,
                       found->pair.laminate + " against " + found->pair.metal);
    return least;
}

double Demands::largest_use(const TraceSet& traces) const {
    double largest = 0.0;
    const auto take_coat = [&](const std::string& zone, const cure::CoatingCurves& curves) {
        const Trace* face = traces.find(zone);
        if (face == nullptr || !curves.maximum) return;
        largest = std::max(largest, cure::dose_band(schedule_trace(traces, curves.coating, *face), *curves.maximum).dose.most());
    };
    for (const std::string& zone : coated_) take_coat(zone, curves_);
    for (const EarlierCoat& coat : earlier_) take_coat(coat.had->zone, *coat.curves);
    for (const cure::HeatSensitiveItem& item : task_.items) {
        const Trace* trace = traces.find(item.name);
        if (trace == nullptr) continue;
        for (const cure::ExposureLimit& limit : item.limits)
            if (limit.kind == cure::LimitKind::never && limit.scope == cure::ExposureScope::lifetime && limit.allowed_s > 0.0)
                largest =
                    std::max(largest, cure::stay_at_or_above(*trace, limit.temperature_k - kNearK).total_s / limit.allowed_s);
    }
    return largest;
}

bool Demands::is_too_large(const std::optional<LargestDifference>& difference) const {
    return largest_difference_k_ && difference && difference->size_k() > *largest_difference_k_;
}

std::vector<CoatOverBaked> Demands::over_baked(const TraceSet& traces) const {
    std::vector<CoatOverBaked> found;
    for (const EarlierCoat& coat : earlier_) {
        const Trace& face = *traces.find(coat.had->zone);
        CoatOverBaked made{coat.had->coat,
                           coat.had->zone,
                           Word::good,
                           coat.had->over_bake_dose.most(),
                           0.0,
                           peak_k(face),
                           coat.had->coating->absolute_maximum_k};
        const bool too_hot = made.absolute_maximum_k && made.peak_k > *made.absolute_maximum_k + cure::kTemperatureRoundingK;
        bool too_long = false;
        made.share_after = made.share_before;
        if (coat.curves->maximum) {
            const cure::Band dose = cure::dose_band(schedule_trace(traces, *coat.had->coating, face), *coat.curves->maximum).dose;
            const cure::Band& before = coat.had->over_bake_dose;
            const cure::Band sum{before.at_low + dose.at_low, before.at_value + dose.at_value, before.at_high + dose.at_high};
            made.share_after = sum.most();
            too_long = sum.least() > 1.0 + cure::kDoseRounding;
        }
        if (too_hot || too_long)
            made.word = Word::over;
        else if (made.share_after > 1.0 + cure::kDoseRounding)
            made.word = Word::check;
        if (made.word != Word::good) found.push_back(std::move(made));
    }
    return found;
}

}  // namespace bakewright::plan
