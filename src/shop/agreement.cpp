#include "bakewright/shop/agreement.hpp"

#include <algorithm>
#include <cmath>

#include "bakewright/bake/uncertainty.hpp"
#include "bakewright/probe/probe_record.hpp"
#include "bakewright/shop/probe_uncertainty.hpp"

namespace bakewright::shop {
namespace {

/// Only temperatures are asked of the ensemble, so any coating will do.
cure::Coating any_coating() {
    cure::Coating coating;
    coating.id = "any";
    coating.basis = cure::ScheduleBasis::part;
    coating.schedule = {{celsius_to_kelvin(60.0), 1800.0, {}}};
    return coating;
}

const plan::TemperatureBand* band_in(const plan::EnsemblePrediction* ensemble, const std::string& name) {
    if (ensemble == nullptr) return nullptr;
    for (const plan::ZoneChances& zone : ensemble->zones)
        if (zone.zone == name) return &zone.band;
    for (const plan::ItemChances& item : ensemble->items)
        if (item.item == name) return &item.band;
    return nullptr;
}

void allow_band(tune::ChannelAllowance& allowance, const Trace& predicted, const std::vector<double>& time_s,
                const plan::TemperatureBand& band) {
    for (std::size_t i = 0; i < time_s.size(); ++i) {
        const double predicted_k = temperature_at_k(predicted, time_s[i]);
        const double middle_k = std::isfinite(predicted_k) ? predicted_k : band.median_k[i];
        allowance.time_s.push_back(time_s[i]);
        allowance.below_k.push_back(std::max(0.0, middle_k - band.low_k[i]));
        allowance.above_k.push_back(std::max(0.0, band.high_k[i] - middle_k));
    }
}

void allow_usual(tune::ChannelAllowance& allowance, const Trace& predicted) {
    const double spread_k = bake::kDeviationsTo95 * usual_model().standard_k;
    allowance.time_s = {predicted.time_s.front()};
    allowance.below_k = allowance.above_k = {spread_k};
}

std::string probes_origin(const StoredBake& logged, const CertaintyOptions& how) {
    if (how.given) return how.given->origin;
    return logged.probes ? recorded_probes_origin(logged) : usual_probes().origin;
}

}  // namespace

tune::Agreement agreement(const StoredBake& predicted, const StoredBake& logged, const plan::EnsemblePrediction* ensemble,
                          const CertaintyOptions& how) {
    std::optional<plan::EnsemblePrediction> made;
    if (ensemble == nullptr) made = ensemble_of(predicted, any_coating(), how);
    if (made) ensemble = &*made;
    std::optional<TraceSet> unsafe;
    if (logged.probes) unsafe = probe::unsafe_readings(logged.traces, *logged.probes);
    tune::Agreement out;
    bool any_band = false, any_usual = false;
    for (const Trace& trace : predicted.traces.traces) {
        const Trace* log = logged.traces.find(trace.name);
        if (log == nullptr || trace.size() < 2) continue;
        tune::ChannelAllowance allowance;
        allowance.probe_k =
            how.given ? probe::tolerance_of_standard_k(how.given->standard_k) : probe_tolerance_k(logged, trace.name);
        if (unsafe) allowance.unsafe = *unsafe->find(trace.name);
        const plan::TemperatureBand* band = band_in(ensemble, trace.name);
        if (band != nullptr)
            allow_band(allowance, trace, ensemble->time_s, *band);
        else
            allow_usual(allowance, trace);
        const auto found = tune::channel_agreement(trace, *log, allowance);
        if (!found) continue;
        out.channels.push_back(*found);
        (band != nullptr ? any_band : any_usual) = true;
    }
    std::stable_sort(out.channels.begin(), out.channels.end(),
                     [](const auto& a, const auto& b) { return a.share_inside() < b.share_inside(); });
    out.probes_origin = probes_origin(logged, how);
    if (any_band) out.model_origin = plan::ensemble_origin(ensemble->member_count);
    if (any_usual) out.model_origin += (any_band ? "; for channels that it has not, " : "") + usual_model().origin;
    return out;
}

}  // namespace bakewright::shop
