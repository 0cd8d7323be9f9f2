// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/judge.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <tuple>

#include "bakewright/base/error.hpp"
#include "bakewright/base/units.hpp"
#include "bakewright/cure/judge_item.hpp"
#include "bakewright/cure/judge_zone.hpp"
#include "bakewright/cure/readings.hpp"
#include "bakewright/cure/reason.hpp"
#include "bakewright/cure/required_time.hpp"

namespace bakewright::cure {
namespace {

ZoneVerdict judge_coated_zone(const CoatedZone& zone, const Trace* booth_air, const CoatingCurves& curves) {
    if (zone.trace == nullptr) return zone_not_judged(zone.name, TraceRole::zone, NotJudged::no_trace);
    if (curves.coating.basis != ScheduleBasis::booth_air) return judge_zone(*zone.trace, *zone.trace, curves);
    if (booth_air == nullptr) return zone_not_judged(zone.name, zone.trace->role, NotJudged::no_booth_air);
    return judge_zone(*booth_air, *zone.trace, curves);
}

template <typename Holds>
bool any_zone(const BakeVerdict& bake, Holds holds) {
    return std::any_of(bake.zones.begin(), bake.zones.end(), holds);
}

/// What the panel proves, and what it does not: the zones that got less than it did.
Phrase panel_remark(const BakeVerdict& bake) {
    std::size_t judged = 0, behind = 0;
    const ZoneVerdict* least = nullptr;
    for (const ZoneVerdict& zone : bake.zones) {
        if (zone.role != TraceRole::zone || !zone.share_of_panel) continue;
        ++judged;
        if (*zone.share_of_panel < 1.0) ++behind;
        if (least == nullptr || *zone.share_of_panel < *least->share_of_panel) least = &zone;
    }
    Phrase text = "a good test panel proves the paint, the mix and the operator; it does not prove the shell";
    if (behind > 0)
        text.add(fmt::format(": {} of {} zones got less heat than the panel, '", behind, judged))
            .add_place(least->zone)
            .add(fmt::format("' least with {:.0f} % of its dose", 100.0 * *least->share_of_panel));
    return text;
}

/// The first test panel that was judged and earned something is what the zones are held against.
void put_shares_of_panel(BakeVerdict& bake) {
    const auto earned = [](const ZoneVerdict& zone) {
        return zone.role == TraceRole::test_panel && zone.word != Word::not_judged && zone.dose.at_value > 0.0;
    };
    const auto panel = std::find_if(bake.zones.begin(), bake.zones.end(), earned);
    if (panel == bake.zones.end()) return;
    const double panel_dose = panel->dose.at_value;
    for (ZoneVerdict& zone : bake.zones)
        if (zone.word != Word::not_judged) zone.share_of_panel = zone.dose.at_value / panel_dose;
}

/// Who said so, and when.
std::string makers_word(const Coating& coating) {
    const auto source = coating.sources.find("cured_below_the_sheet_from");
    return source == coating.sources.end() ? std::string("no source given") : source->second;
}

std::vector<Phrase> remarks_for(const BakeVerdict& bake, const Coating& coating) {
    std::vector<Phrase> remarks;
    if (bake.basis == ScheduleBasis::not_stated)
        remarks.push_back(
            "the sheet does not say whether it means part or booth-air temperature: it is read as part temperature; ask the "
            "maker");
    if (bake.basis == ScheduleBasis::booth_air)
        remarks.push_back(
            "the sheet means booth air: every zone is judged on the booth-air trace, so a slow part is not seen; peak, "
            "absolute maximum and heating rate are the zone's own");
    if (any_zone(bake, [](const ZoneVerdict& zone) { return zone.role == TraceRole::test_panel; }))
        remarks.push_back(panel_remark(bake));
    if (any_zone(bake, [](const ZoneVerdict& zone) { return zone.ended_warm_at_k.has_value(); }))
        remarks.push_back(
            "some traces stop while still warm, as after a trip of the burner or a cut of the power: the bake is judged for what "
            "it gave "
            "up to there. A stay that was cut starts anew: the next bake gives a full one");
    if (any_zone(bake, [](const ZoneVerdict& zone) { return zone.is_on_makers_word; }))
        remarks.push_back(fmt::format("time below the sheet counts on the maker's word: {}", makers_word(coating)));
    if (any_zone(bake, [](const ZoneVerdict& zone) { return zone.noise_k > kReadThroughNoiseK; }))
        remarks.push_back(
            "noisy readings were read on their straight line over 2.5 min on either side (common practice, no source)");
    if (any_zone(bake, [](const ZoneVerdict& zone) { return zone.window.stay.dips_s > 0.0; }))
        remarks.push_back(
            "dips of up to 1 K and 2 min did not end a stay; their time does not count (common practice, no source)");
    if (any_zone(bake, [](const ZoneVerdict& zone) { return zone.beyond_last_row_s > 0.0; }))
        remarks.push_back(coating.beyond_last_row == BeyondLastRow::counts_as_last_row
                              ? "time hotter than the sheet's last row counts towards cure at that row's rate and no faster"
                              : "time hotter than the sheet's last row counts as nothing, as the coating says");
    if (coating.kinetics)
        remarks.push_back(
            "the degree of cure comes from a published rate law of this kind of chemistry, not from this coating's maker: it is "
            "told and changes no verdict");
    if (any_zone(bake, [](const ZoneVerdict& zone) { return zone.gaps.open_s > 0.0; }))
        remarks.push_back("gaps in a log longer than 2 min count as nothing; shorter ones are read as a straight line");
    return remarks;
}

void put_heat(BakeVerdict& bake, const Trace* booth_air, const std::vector<CoatedZone>& zones, const Coating& coating) {
    if (booth_air != nullptr) bake.heat_on_s = heat_on_s(*booth_air);
    if (bake.heat_on_s) bake.warnings = flash_off_warnings(*bake.heat_on_s, coating);
    for (const CoatedZone& zone : zones) {
        if (zone.trace == nullptr) continue;
        for (HeatWarning& warning : heating_rate_warnings(*zone.trace, coating)) bake.warnings.push_back(std::move(warning));
    }
    sort_warnings(bake.warnings);
    for (ZoneVerdict& zone : bake.zones)
        if (bake.heat_on_s && zone.cured_at_s) zone.heat_to_cure_s = *zone.cured_at_s - *bake.heat_on_s;
}

}  // namespace

/// Of two words alike the zone with less credit, or for OVER the hotter one; the hotter item; then by name.
void sort_worst_first(BakeVerdict& verdict) {
    const auto zone_key = [](const ZoneVerdict& zone) {
        const double margin = zone.word == Word::over ? -zone.peak_temperature_k : zone.window.slack_s;
        return std::tuple(word_rank(zone.word), margin, std::string_view(zone.zone));
    };
    std::sort(verdict.zones.begin(), verdict.zones.end(),
              [&](const ZoneVerdict& left, const ZoneVerdict& right) { return zone_key(left) < zone_key(right); });
    const auto item_key = [](const ItemVerdict& item) {
        return std::tuple(word_rank(item.word), -item.peak_temperature_k, std::string_view(item.item));
    };
    std::sort(verdict.items.begin(), verdict.items.end(),
              [&](const ItemVerdict& left, const ItemVerdict& right) { return item_key(left) < item_key(right); });
}

BakeVerdict judge_bake(const TraceSet& traces, const Coating& coating, const std::vector<HeatSensitiveItem>& items,
                       const std::vector<std::string>& coated_zones) {
    ensure(!coating.schedule.empty(), "a coating that is judged by has a schedule");
    const CoatingCurves curves(coating);
    const Trace* booth_air = traces.first(TraceRole::booth_air);
    const std::vector<CoatedZone> zones = coated_traces(traces, coated_zones);
    BakeVerdict bake;
    bake.coating_title = coating.title;
    bake.basis = coating.basis;
    bake.activation_energy = curves.chosen.energy;
    bake.activation_energy_origin = curves.chosen.origin;
    for (const CoatedZone& zone : zones) bake.zones.push_back(judge_coated_zone(zone, booth_air, curves));
    for (const HeatSensitiveItem& item : items) {
        const Trace* trace = traces.find(item.name);
        bake.items.push_back(trace != nullptr ? judge_item(*trace, item) : item_not_judged(item.name, NotJudged::no_trace));
    }
    put_heat(bake, booth_air, zones, coating);
    sort_worst_first(bake);
    put_shares_of_panel(bake);
    if (const std::optional<LikelyUnit> unit = likely_other_unit(traces)) bake.questions.push_back(question_text(*unit));
    if (!coating.flash_off_minimum_s)
        bake.questions.emplace_back(
            "how long a flash-off does the sheet ask for before heat? The coating's profile does not say: write "
            "flash_off_minimum into it");
    bake.after_bake = after_bake_text(coating);
    bake.remarks = remarks_for(bake, coating);
    return bake;
}

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

namespace {

bool carries_paint(const Trace& trace) { return trace.role == TraceRole::zone || trace.role == TraceRole::test_panel; }

}  // namespace

std::vector<CoatedZone> coated_traces(const TraceSet& traces, const std::vector<std::string>& coated_zones) {
    std::vector<CoatedZone> found;
    for (const std::string& name : coated_zones) {
        const Trace* trace = traces.find(name);
        found.push_back({name, trace != nullptr && carries_paint(*trace) ? trace : nullptr});
    }
    if (!coated_zones.empty()) return found;
    for (const Trace& trace : traces.traces)
        if (carries_paint(trace)) found.push_back({trace.name, &trace});
    return found;
}

namespace {

/// Where a set of traces begins and how hot it gets.
struct Extent {
    double start_k = 0.0;
    double peak_k = 0.0;
};

std::optional<Extent> extent_of(const TraceSet& traces) {
    std::vector<double> starts_k;
    double peak_k = -std::numeric_limits<double>::infinity();
    for (const Trace& trace : traces.traces) {
        bool started = false;
        for (std::size_t i = 0; i < trace.size(); ++i) {
            if (!trace.usable(i)) continue;
            if (!started) starts_k.push_back(trace.temperature_k[i]);
            started = true;
            peak_k = std::max(peak_k, trace.temperature_k[i]);
        }
    }
    if (starts_k.empty()) return std::nullopt;
    const auto middle = starts_k.begin() + static_cast<std::ptrdiff_t>(starts_k.size() / 2);
    std::nth_element(starts_k.begin(), middle, starts_k.end());
    return Extent{*middle, peak_k};
}

bool plausible(const Extent& extent, const PlausibleBake& bake) {
    return extent.start_k >= bake.coldest_start_k && extent.start_k <= bake.hottest_start_k &&
           extent.peak_k >= bake.least_peak_k && extent.peak_k <= bake.most_peak_k;
}

template <typename Convert>
Extent converted(const Extent& extent, Convert convert) {
    return {convert(extent.start_k), convert(extent.peak_k)};
}

}  // namespace

std::optional<LikelyUnit> likely_other_unit(const TraceSet& traces, const PlausibleBake& bake) {
    const std::optional<Extent> extent = extent_of(traces);
    if (!extent || plausible(*extent, bake)) return std::nullopt;
    const auto as_fahrenheit = [](double read_k) { return fahrenheit_to_kelvin(kelvin_to_celsius(read_k)); };
    const auto as_celsius = [](double read_k) { return celsius_to_kelvin(kelvin_to_fahrenheit(read_k)); };
    // A long hot soak that starts warm is no slip of unit: only a start that no booth has at rest is asked about.
    if (extent->start_k > bake.hottest_start_k && plausible(converted(*extent, as_fahrenheit), bake))
        return LikelyUnit::fahrenheit_read_as_celsius;
    if (extent->peak_k < bake.least_peak_k && plausible(converted(*extent, as_celsius), bake))
        return LikelyUnit::celsius_read_as_fahrenheit;
    return std::nullopt;
}

std::string question_text(LikelyUnit unit) {
    if (unit == LikelyUnit::fahrenheit_read_as_celsius)
        return "is this log in degrees Fahrenheit? Read as Celsius it starts hotter than any room and would be no bake of this "
               "trade; "
               "in Fahrenheit it would be one. Import it again with its unit before you trust a word of this";
    return "is this log in degrees Celsius? Read as Fahrenheit it never gets warm; in Celsius it would be a bake. Import it "
           "again with "
           "its unit before you trust a word of this";
}

}  // namespace bakewright::cure
