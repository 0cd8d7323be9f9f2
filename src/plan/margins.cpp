#include "bakewright/plan/margins.hpp"

#include <algorithm>
#include <cmath>
#include <functional>

#include "bakewright/cure/dose.hpp"
#include "bakewright/cure/readings.hpp"
#include "bakewright/cure/rule.hpp"

namespace bakewright::plan {
namespace {

using cure::JoinedTrace;

Trace shifted(const Trace& trace, double by_k) {
    Trace moved = trace;
    for (double& temperature_k : moved.temperature_k) temperature_k += by_k;
    return moved;
}

double cure_margin_k(const Trace& schedule, const cure::CoatingCurves& curves) {
    const JoinedTrace joined(schedule);
    return cure::cure_slack_k(cure::StayTrace(joined), curves.window, kWidestMarginK);
}

/// @param had  over-bake dose before
std::optional<double> too_much_margin_k(const Trace& schedule, const Trace& face, const cure::CoatingCurves& curves,
                                        double had = 0.0) {
    std::optional<double> least_k;
    if (curves.coating.absolute_maximum_k) least_k = *curves.coating.absolute_maximum_k - cure::peak(face)->temperature_k;
    if (curves.maximum) {
        const double over_k = cure::slack_k(
            [&](double hotter_k) {
                return 1.0 - had - cure::dose_band(shifted(schedule, hotter_k), *curves.maximum).dose.most();
            },
            kWidestMarginK);
        least_k = std::min(least_k.value_or(HUGE_VAL), over_k);
    }
    return least_k;
}

double limit_margin_k(const JoinedTrace& trace, const cure::ExposureLimit& limit, double had_s) {
    if (limit.allowed_s == 0.0) return limit.temperature_k - cure::peak(trace)->temperature_k;
    return cure::slack_k([&](double hotter_k) { return cure::limit_slack_s(trace, limit, hotter_k, had_s); }, kWidestMarginK);
}

double item_margin_k(const Trace& trace, const cure::HeatSensitiveItem& item, const ItemSoFar* had) {
    const JoinedTrace joined(trace);
    double least_k = kWidestMarginK;
    for (std::size_t i = 0; i < item.limits.size(); ++i)
        if (cure::changes_word(item.limits[i]))
            least_k = std::min(least_k, limit_margin_k(joined, item.limits[i], had == nullptr ? 0.0 : had->exposed_s.at(i)));
    return least_k;
}

const Trace* schedule_trace(const TraceSet& traces, const cure::Coating& coating, const Trace* face) {
    return coating.basis == cure::ScheduleBasis::booth_air ? traces.first(TraceRole::booth_air) : face;
}

void add_coats(Margins& made, const TraceSet& traces, const SoFar& so_far) {
    for (const CoatSoFar& coat : so_far.coats) {
        const Trace* face = traces.find(coat.zone);
        const Trace* schedule = schedule_trace(traces, *coat.coating, face);
        if (face == nullptr || schedule == nullptr) continue;
        const cure::CoatingCurves curves(*coat.coating);
        if (const auto spare_k = too_much_margin_k(*schedule, *face, curves, coat.over_bake_dose.most()))
            made.coats.push_back({coat.coat, coat.zone, *spare_k});
    }
}

}  // namespace

double Margins::smallest_k() const noexcept {
    double least_k = kWidestMarginK;
    for (const ZoneMargin& zone : zones) least_k = std::min({least_k, zone.cure_k, zone.too_much_k.value_or(kWidestMarginK)});
    for (const ItemMargin& item : items) least_k = std::min(least_k, item.spare_k);
    for (const CoatMargin& coat : coats) least_k = std::min(least_k, coat.spare_k);
    return least_k;
}

std::string Margins::smallest_of() const {
    const double least_k = smallest_k();
    for (const ZoneMargin& zone : zones)
        if (std::min(zone.cure_k, zone.too_much_k.value_or(kWidestMarginK)) == least_k) return zone.zone;
    for (const ItemMargin& item : items)
        if (item.spare_k == least_k) return item.item;
    for (const CoatMargin& coat : coats)
        if (coat.spare_k == least_k) return coat.coat + " on " + coat.zone;
    return {};
}

Margins margins(const TraceSet& traces, const cure::Coating& coating, const std::vector<cure::HeatSensitiveItem>& items,
                const std::vector<std::string>& zones, const SoFar* so_far) {
    const cure::CoatingCurves curves(coating);
    Margins made;
    for (const std::string& zone : zones) {
        const Trace* face = traces.find(zone);
        if (face == nullptr) continue;
        const Trace* schedule = schedule_trace(traces, coating, face);
        if (schedule == nullptr) continue;
        made.zones.push_back({zone, cure_margin_k(*schedule, curves), too_much_margin_k(*schedule, *face, curves)});
    }
    for (const cure::HeatSensitiveItem& item : items)
        if (const Trace* trace = traces.find(item.name))
            made.items.push_back(
                {item.name, item_margin_k(*trace, item, so_far == nullptr ? nullptr : so_far->find_item(item.name))});
    if (so_far != nullptr) add_coats(made, traces, *so_far);
    return made;
}

}  // namespace bakewright::plan
