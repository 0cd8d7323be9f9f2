#include <optional>
#include <utility>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/coating_curves.hpp"
#include "bakewright/cure/confidence.hpp"
#include "bakewright/cure/readings.hpp"
#include "judge_zone.hpp"
#include "offset_scenarios.hpp"

namespace bakewright::cure {
namespace {

/// The uncertainty that every trace has; 0 where they differ.
class OneForAll {
public:
    double seen(double standard_k) {
        ensure(standard_k > 0.0, "a standard uncertainty is above 0");
        is_same_ = is_same_ && (!first_k_ || *first_k_ == standard_k);
        first_k_ = first_k_.value_or(standard_k);
        return standard_k;
    }
    [[nodiscard]] double value_k() const noexcept { return is_same_ ? first_k_.value_or(0.0) : 0.0; }

private:
    std::optional<double> first_k_;
    bool is_same_ = true;
};

}  // namespace

Certainty zone_certainty(const Trace& schedule, const Trace& face, const Coating& coating,
                         const TemperatureUncertainty& uncertainty) {
    const CoatingCurves curves(coating);
    CoatOffsets offsets(curves);
    offsets.add(schedule, peak(JoinedTrace(face)).value_or(PeakReading{}).temperature_k, uncertainty.standard_k);
    return offsets.certainty();
}

void add_certainty(BakeVerdict& verdict, const TraceSet& traces, const Coating& coating,
                   const TemperatureUncertainty& uncertainty) {
    add_certainty(
        verdict, traces, coating, [&](const std::string&) { return uncertainty.standard_k; }, uncertainty.origin);
}

void add_certainty(BakeVerdict& verdict, const TraceSet& traces, const Coating& coating, const NamedUncertainty& standard_k,
                   std::string origin) {
    const CoatingCurves curves(coating);
    verdict.uncertainty_origin = std::move(origin);
    OneForAll one_for_all;
    const Trace* air = traces.first(TraceRole::booth_air);
    for (ZoneVerdict& zone : verdict.zones) {
        if (zone.word == Word::not_judged) continue;
        const Trace& schedule = coating.basis == ScheduleBasis::booth_air ? *air : *traces.find(zone.zone);
        CoatOffsets offsets(curves);
        offsets.add(schedule, zone.peak_temperature_k, one_for_all.seen(standard_k(schedule.name)));
        settle(zone, offsets.certainty());
    }
    for (ItemVerdict& item : verdict.items) {
        // Of a limit that nobody knows there is no chance to tell.
        if (item.word == Word::not_judged || !item.no_limit_known_of.empty()) continue;
        std::vector<ExposureLimit> limits;
        for (const LimitReading& reading : item.limits) limits.push_back(reading.limit);
        const double own_k = one_for_all.seen(standard_k(item.item));
        settle(item, item_certainty(*traces.find(item.item), limits, {own_k, {}}));
    }
    verdict.standard_uncertainty_k = one_for_all.value_k();
    sort_worst_first(verdict);
}

}  // namespace bakewright::cure
