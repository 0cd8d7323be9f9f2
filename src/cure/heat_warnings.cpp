#include "heat_warnings.hpp"

#include <algorithm>
#include <limits>
#include <tuple>

#include "bakewright/cure/judge.hpp"
#include "bakewright/cure/readings.hpp"
#include "bakewright/cure/reason.hpp"
#include "bakewright/cure/required_time.hpp"

namespace bakewright::cure {
namespace {

/// The moment heat comes on is told from a trace only to about this [s]; see HeatOnRule.
constexpr double kHeatOnToleranceS = 15.0;
constexpr double kRateRoundingKPerS = 1e-9;

HeatWarning warning(HeatWarningKind kind, std::string where, double at_s, double found, double accepted) {
    HeatWarning made{kind, std::move(where), at_s, found, accepted, {}};
    made.reason = reason_text(made, Units{});
    return made;
}

}  // namespace

std::vector<HeatWarning> flash_off_warnings(double heat_on_s, const Coating& coating) {
    const double flash_off_s = std::max(heat_on_s, 0.0);
    if (coating.flash_off_minimum_s && flash_off_s < *coating.flash_off_minimum_s - kHeatOnToleranceS)
        return {warning(HeatWarningKind::heated_too_soon, {}, heat_on_s, flash_off_s, *coating.flash_off_minimum_s)};
    if (coating.flash_off_maximum_s && flash_off_s > *coating.flash_off_maximum_s + kHeatOnToleranceS)
        return {warning(HeatWarningKind::heated_too_late, {}, heat_on_s, flash_off_s, *coating.flash_off_maximum_s)};
    return {};
}

std::optional<RiseReading> rise_before_schedule(const Trace& face, const Coating& coating) {
    const JoinedTrace joined(face);
    const std::optional<double> schedule_s = stay_at_or_above(joined, reference_row(coating).temperature_k).first_up_s;
    return steepest_rise(joined, kHeatingRateSpanS, schedule_s.value_or(std::numeric_limits<double>::infinity()));
}

std::vector<HeatWarning> heating_rate_warnings(const Trace& face, const Coating& coating) {
    if (!coating.largest_heating_rate_k_per_s) return {};
    const std::optional<RiseReading> rise = rise_before_schedule(face, coating);
    if (!rise || rise->rate_k_per_s <= *coating.largest_heating_rate_k_per_s + kRateRoundingKPerS) return {};
    return {warning(HeatWarningKind::heated_too_fast, face.name, rise->from_s, rise->rate_k_per_s,
                    *coating.largest_heating_rate_k_per_s)};
}

void sort_warnings(std::vector<HeatWarning>& warnings) {
    std::sort(warnings.begin(), warnings.end(), [](const HeatWarning& left, const HeatWarning& right) {
        return std::tuple(left.kind, -left.found, left.where) < std::tuple(right.kind, -right.found, right.where);
    });
}

}  // namespace bakewright::cure
