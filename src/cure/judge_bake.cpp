#include <fmt/format.h>

#include <algorithm>
#include <tuple>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/plausibility.hpp"
#include "bakewright/cure/readings.hpp"
#include "bakewright/cure/reason.hpp"
#include "coated_traces.hpp"
#include "heat_warnings.hpp"
#include "judge_item.hpp"
#include "judge_zone.hpp"
#include "word_rank.hpp"

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

}  // namespace bakewright::cure
