#include "bakewright/plan/margins.hpp"

#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <functional>

#include "bakewright/cure/coating_curves.hpp"
#include "bakewright/cure/dose.hpp"
#include "bakewright/cure/readings.hpp"

namespace bakewright::plan {
namespace {

using cure::JoinedTrace;

constexpr double kMarginErrorK = 0.01;

/// How far a trace can be shifted, up to kWidestMarginK either way, until `spare` of the shift falls under 0. spare falls as the
/// shift grows.
double shift_k(const std::function<double(double)>& spare) {
    const double here = spare(0.0);
    double low_k = 0.0, high_k = kWidestMarginK, low = here, high = 0.0;
    if (here >= 0.0) {
        high = spare(high_k);
        if (high >= 0.0) return kWidestMarginK;
    } else {
        low_k = -kWidestMarginK;
        high_k = 0.0;
        high = here;
        low = spare(low_k);
        if (low < 0.0) return -kWidestMarginK;
    }
    const auto near = [](double a, double b) { return std::abs(a - b) <= kMarginErrorK; };
    const auto signed_spare = [&](double k) {
        const double value = spare(k);
        return value == 0.0 ? 1e-12 : value;
    };
    std::uintmax_t iterations = 60;
    return boost::math::tools::toms748_solve(signed_spare, low_k, high_k, low == 0.0 ? 1e-12 : low, high, near, iterations).first;
}

Trace shifted(const Trace& trace, double by_k) {
    Trace moved = trace;
    for (double& temperature_k : moved.temperature_k) temperature_k += by_k;
    return moved;
}

double row_margin_k(const JoinedTrace& trace, const cure::ScheduleRow& row) {
    const double peak_k = cure::peak(trace)->temperature_k;
    return shift_k([&](double colder_k) {
        const double level_k = row.temperature_k + colder_k;
        const double stay_s = cure::stay_at_or_above(trace, level_k).longest_s;
        return stay_s - row.minimum_s - std::max(level_k - peak_k, 0.0);
    });
}

double cure_margin_k(const Trace& schedule, const cure::CoatingCurves& curves, CureRule rule) {
    const JoinedTrace joined(schedule);
    double widest_k = -kWidestMarginK;
    for (const cure::ScheduleRow& row : curves.coating.schedule) widest_k = std::max(widest_k, row_margin_k(joined, row));
    const bool tells_energy = curves.coating.activation_energy || curves.coating.schedule.size() > 1;
    if (rule == CureRule::sheet || !tells_energy) return widest_k;
    return std::max(widest_k, shift_k([&](double colder_k) {
                        return cure::dose_band(shifted(schedule, -colder_k), curves.minimum).dose.least() - 1.0;
                    }));
}

/// @param had  over-bake dose before
std::optional<double> too_much_margin_k(const Trace& schedule, const Trace& face, const cure::CoatingCurves& curves,
                                        double had = 0.0) {
    std::optional<double> least_k;
    if (curves.coating.absolute_maximum_k) least_k = *curves.coating.absolute_maximum_k - cure::peak(face)->temperature_k;
    if (curves.maximum) {
        const double over_k = shift_k([&](double hotter_k) {
            return 1.0 - had - cure::dose_band(shifted(schedule, hotter_k), *curves.maximum).dose.most();
        });
        least_k = std::min(least_k.value_or(HUGE_VAL), over_k);
    }
    return least_k;
}

double limit_margin_k(const JoinedTrace& trace, const cure::ExposureLimit& limit, double had_s) {
    if (limit.allowed_s == 0.0) return limit.temperature_k - cure::peak(trace)->temperature_k;
    return shift_k([&](double hotter_k) {
        return limit.allowed_s - had_s - cure::stay_at_or_above(trace, limit.temperature_k - hotter_k).total_s;
    });
}

double item_margin_k(const Trace& trace, const cure::HeatSensitiveItem& item, const ItemSoFar* had) {
    const JoinedTrace joined(trace);
    double least_k = kWidestMarginK;
    for (std::size_t i = 0; i < item.limits.size(); ++i)
        if (item.limits[i].kind != cure::LimitKind::warn)
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
                const std::vector<std::string>& zones, CureRule rule, const SoFar* so_far) {
    const cure::CoatingCurves curves(coating);
    Margins made;
    for (const std::string& zone : zones) {
        const Trace* face = traces.find(zone);
        if (face == nullptr) continue;
        const Trace* schedule = schedule_trace(traces, coating, face);
        if (schedule == nullptr) continue;
        made.zones.push_back({zone, cure_margin_k(*schedule, curves, rule), too_much_margin_k(*schedule, *face, curves)});
    }
    for (const cure::HeatSensitiveItem& item : items)
        if (const Trace* trace = traces.find(item.name))
            made.items.push_back(
                {item.name, item_margin_k(*trace, item, so_far == nullptr ? nullptr : so_far->find_item(item.name))});
    if (so_far != nullptr) add_coats(made, traces, *so_far);
    return made;
}

}  // namespace bakewright::plan
