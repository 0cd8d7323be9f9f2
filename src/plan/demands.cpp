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

double item_spare(const JoinedTrace& trace, const cure::ExposureLimit& limit) {
    const double level_k = limit.temperature_k - kNearK;
    if (limit.allowed_s == 0.0) {
        const double below_k = level_k - peak_k(trace);
        return (below_k <= cure::kTemperatureRoundingK ? std::min(below_k, -1e-9) : below_k) * kSecondsPerKelvin;
    }
    return limit.allowed_s - cure::stay_at_or_above(trace, level_k).total_s;
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
      curves_(task.coating) {}

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

double Demands::zone_spare(const Trace& schedule, const Trace& face) const {
    double least = HUGE_VAL;
    if (task_.coating.absolute_maximum_k)
        least = (*task_.coating.absolute_maximum_k + cure::kTemperatureRoundingK - peak_k(face)) * kSecondsPerKelvin;
    if (curves_.maximum) {
        const double over = cure::dose_band(schedule, *curves_.maximum).dose.most();
        least = std::min(least, (1.0 + cure::kDoseRounding - over) * cure::maximum_points(task_.coating).front().time_s);
    }
    return least;
}

Standing Demands::spared(const TraceSet& traces) const {
    Standing least{HUGE_VAL, {}, Word::good};
    const bool is_air = task_.coating.basis == cure::ScheduleBasis::booth_air;
    for (const std::string& zone : coated_) {
        const Trace& face = *traces.find(zone);
        take_least(least, zone_spare(is_air ? *traces.first(TraceRole::booth_air) : face, face), zone);
    }
    for (const cure::HeatSensitiveItem& item : task_.items) {
        const Trace* trace = traces.find(item.name);
        if (trace == nullptr) continue;
        const JoinedTrace joined(*trace);
        for (const cure::ExposureLimit& limit : item.limits) take_least(least, item_spare(joined, limit), item.name);
    }
    return least;
}

}  // namespace bakewright::plan
