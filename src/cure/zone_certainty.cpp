#include "bakewright/base/error.hpp"
#include "bakewright/cure/coating_curves.hpp"
#include "bakewright/cure/confidence.hpp"
#include "bakewright/cure/readings.hpp"
#include "offset_scenarios.hpp"

namespace bakewright::cure {

Certainty zone_certainty(const Trace& schedule, const Trace& face, const Coating& coating,
                         const TemperatureUncertainty& uncertainty) {
    const CoatingCurves curves(coating);
    CoatOffsets offsets(curves);
    offsets.add(schedule, peak(JoinedTrace(face)).value_or(PeakReading{}).temperature_k, uncertainty.standard_k);
    return offsets.certainty();
}

void add_certainty(BakeVerdict& verdict, const TraceSet& traces, const Coating& coating,
                   const TemperatureUncertainty& uncertainty) {
    ensure(uncertainty.standard_k > 0.0, "a standard uncertainty is above 0");
    const CoatingCurves curves(coating);
    verdict.uncertainty_origin = uncertainty.origin;
    verdict.standard_uncertainty_k = uncertainty.standard_k;
    const Trace* air = traces.first(TraceRole::booth_air);
    for (ZoneVerdict& zone : verdict.zones) {
        if (zone.word == Word::not_judged) continue;
        CoatOffsets offsets(curves);
        offsets.add(coating.basis == ScheduleBasis::booth_air ? *air : *traces.find(zone.zone), zone.peak_temperature_k,
                    uncertainty.standard_k);
        zone.certainty = offsets.certainty();
        if (zone.gap_may_hide_cure || zone.gap_may_hide_heat) zone.certainty->too_close = true;
    }
    for (ItemVerdict& item : verdict.items) {
        if (item.word == Word::not_judged) continue;
        std::vector<ExposureLimit> limits;
        for (const LimitReading& reading : item.limits) limits.push_back(reading.limit);
        item.certainty = item_certainty(*traces.find(item.item), limits, uncertainty);
        if (item.gap_may_hide_heat) item.certainty->too_close = true;
    }
}

}  // namespace bakewright::cure
