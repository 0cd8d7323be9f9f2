// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/judge_history.hpp"

#include <algorithm>
#include <tuple>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/history.hpp"
#include "bakewright/cure/judge.hpp"
#include "bakewright/cure/judge_item.hpp"
#include "bakewright/cure/judge_zone.hpp"
#include "bakewright/cure/readings.hpp"
#include "bakewright/cure/reason.hpp"

namespace bakewright::cure {
namespace {

/// No bake yet: every limit unused.
ItemVerdict unheated(const HeatSensitiveItem& item, double near_k) {
    ItemVerdict verdict;
    verdict.item = item.name;
    verdict.margin_k = near_k;
    verdict.no_limit_known_of = item.no_limit_known_of;
    verdict.word = item.no_limit_known_of.empty() ? Word::good : Word::check;
    for (const ExposureLimit& limit : item.limits) verdict.limits.push_back({limit, 0.0, 0.0, false, false});
    return verdict;
}

void add(ItemHistoryVerdict& verdict, const HistoryBake& bake, std::size_t index, const HeatSensitiveItem& item, double near_k) {
    const FoundTrace found = find_trace(bake, item.name);
    const Word before = verdict.total.word;
    verdict.aboard.push_back(index);
    verdict.sources.push_back(found.source);
    if (found.trace != nullptr)
        add_bake(verdict.total, judge_item(*found.trace, item, near_k));
    else
        verdict.total.gap_may_hide_heat = true;
    verdict.total.word = item_word(verdict.total);
    verdict.word_after.push_back(verdict.total.word);
    if (!verdict.passed_in && verdict.total.word == Word::over) verdict.passed_in = index;
    const bool worse = word_rank(verdict.total.word) < word_rank(before);
    if (bake.planned && !verdict.remove_before && (worse || found.trace == nullptr || before == Word::over))
        verdict.remove_before = index;
}

}  // namespace

ItemHistoryVerdict judge_item_history(const ShellHistory& history, const HeatSensitiveItem& item, double near_k) {
    ItemHistoryVerdict verdict;
    verdict.total = unheated(item, near_k);
    for (std::size_t i = 0; i < history.bakes.size(); ++i)
        if (named(history.bakes[i].items, item.name)) add(verdict, history.bakes[i], i, item, near_k);
    verdict.total.reason = reason_text(verdict.total, Units{});
    return verdict;
}

namespace {

bool baked_between(const ShellHistory& history, const std::string& zone, double from_s, double until_s) {
    return std::any_of(history.bakes.begin(), history.bakes.end(), [&](const HistoryBake& bake) {
        return takes_part(bake, zone) && bake.began_at_s >= from_s && bake.began_at_s < until_s;
    });
}

/// What is wrong with the time between two coats on a zone; nothing where it is right or the sheet says nothing.
std::optional<RecoatWarning> recoat_on(const ShellHistory& history, const Coat& coat, const Coat& next, const std::string& zone) {
    const Coating& sheet = coat.coating;
    const double waited_s = next.applied_at_s - coat.applied_at_s;
    const bool sanded = coat.sanded_at_s && *coat.sanded_at_s <= next.applied_at_s;
    const bool baked = baked_between(history, zone, coat.applied_at_s, next.applied_at_s);
    RecoatWarning warning;
    warning.coat = coat.name;
    warning.next_coat = next.name;
    warning.zones = {zone};
    warning.found_s = waited_s;
    // A sheet's shortest wait is for air drying; a bake makes up for it.
    if (sheet.recoat_minimum_s && waited_s < *sheet.recoat_minimum_s && !baked) {
        warning.accepted_s = *sheet.recoat_minimum_s;
        return warning;
    }
    if (!sheet.recoat_maximum_s || waited_s <= *sheet.recoat_maximum_s || sanded) return std::nullopt;
    warning.kind = RecoatWarningKind::recoated_too_late;
    warning.accepted_s = *sheet.recoat_maximum_s;
    return warning;
}

void add_or_join(std::vector<RecoatWarning>& warnings, RecoatWarning warning) {
    for (RecoatWarning& known : warnings)
        if (known.kind == warning.kind && known.coat == warning.coat && known.next_coat == warning.next_coat) {
            known.zones.push_back(warning.zones.front());
            return;
        }
    warnings.push_back(std::move(warning));
}

/// The first bake a coat was in on any of its zones.
const HistoryBake* first_bake(const ShellHistory& history, const Coat& coat) {
    for (const HistoryBake& bake : history.bakes)
        if (bake.began_at_s >= coat.applied_at_s &&
            std::any_of(coat.zones.begin(), coat.zones.end(), [&](const std::string& zone) { return takes_part(bake, zone); }))
            return &bake;
    return nullptr;
}

}  // namespace

std::vector<RecoatWarning> recoat_warnings(const ShellHistory& history) {
    std::vector<RecoatWarning> warnings;
    for (const Coat& coat : history.coats)
        for (const std::string& zone : coat.zones)
            if (const Coat* next = next_coat_on(history, coat, zone))
                if (std::optional<RecoatWarning> warning = recoat_on(history, coat, *next, zone))
                    add_or_join(warnings, *std::move(warning));
    for (RecoatWarning& warning : warnings) warning.reason = reason_text(warning);
    return warnings;
}

std::vector<CoatHeatWarning> coat_heat_warnings(const ShellHistory& history) {
    std::vector<CoatHeatWarning> warnings;
    for (const Coat& coat : history.coats) {
        const HistoryBake* bake = first_bake(history, coat);
        const Trace* air = bake == nullptr ? nullptr : find_booth_air(*bake);
        if (air == nullptr) continue;
        const std::optional<double> heat_s = heat_on_s(*air);
        if (!heat_s) continue;
        const double after_spraying_s = bake->began_at_s + *heat_s - coat.applied_at_s;
        for (HeatWarning& warning : flash_off_warnings(after_spraying_s, coat.coating)) {
            warning.at_s = *heat_s;
            warnings.push_back({coat.name, bake->name, std::move(warning), {}});
            warnings.back().reason = reason_text(warnings.back());
        }
    }
    return warnings;
}

namespace {

/// Follows one coat on one zone through the bakes.
class CoatFollower {
public:
    CoatFollower(const ShellHistory& history, std::size_t coat_index, const std::string& zone, const CoatingCurves& curves)
        : history_(history), curves_(curves), conversion_(start_conversion(curves.coating)) {
        verdict_.coat = history.coats[coat_index].name;
        verdict_.coat_index = coat_index;
        verdict_.total = no_bake_yet(zone, TraceRole::zone, curves);
    }

    void add(std::size_t bake_index) {
        const HistoryBake& bake = history_.bakes[bake_index];
        const FoundTrace face = find_trace(bake, verdict_.total.zone);
        const Trace* schedule = face.trace;
        if (curves_.coating.basis == ScheduleBasis::booth_air) schedule = find_booth_air(bake);
        BakeShare share;
        share.bake = bake_index;
        share.source = face.source;
        if (face.trace == nullptr || !can_be_judged(schedule)) {
            share.source = TraceSource::nothing;
            // Nobody knows what this bake gave: an UNDER is not sure any more.
            add_bake(verdict_.total, no_bake_yet(verdict_.total.zone, verdict_.total.role, curves_), true, curves_);
        } else {
            add_traces(share, *schedule, *face.trace);
        }
        share.word_after = verdict_.total.word;
        note_moments(bake_index);
        verdict_.shares.push_back(share);
    }

    [[nodiscard]] bool cured() const { return verdict_.total.window.is_cured(); }
    void covered_by(const std::string& coat) { verdict_.covered_by = coat; }
    [[nodiscard]] CoatVerdict take() { return std::move(verdict_); }

private:
    static double start_conversion(const Coating& coating) { return coating.kinetics ? coating.kinetics->start_conversion : 0.0; }

    void add_traces(BakeShare& share, const Trace& schedule, const Trace& face) {
        const ZoneVerdict bake = judge_zone(schedule, face, curves_);
        share.dose = bake.dose;
        share.peak_temperature_k = bake.peak_temperature_k;
        verdict_.total.role = face.role;
        if (bake.peak_temperature_k > verdict_.total.peak_temperature_k) verdict_.peak_in = share.bake;
        add_bake(verdict_.total, bake, lost_while_warm(schedule, curves_.coating.floor_k), curves_);
        if (!curves_.coating.kinetics) return;
        verdict_.total.conversion = degree_of_cure(schedule, *curves_.coating.kinetics, curves_.coating.floor_k, conversion_);
        verdict_.total.required_conversion = curves_.coating.kinetics->required_conversion;
        conversion_ = verdict_.total.conversion->conversion;
    }

    void note_moments(std::size_t bake_index) {
        if (!verdict_.cured_in && cured()) verdict_.cured_in = bake_index;
        if (!verdict_.over_since && verdict_.total.word == Word::over) verdict_.over_since = bake_index;
    }

    const ShellHistory& history_;
    const CoatingCurves& curves_;
    CoatVerdict verdict_;
    double conversion_;
};

CoatVerdict judge_coat(const ShellHistory& history, std::size_t coat_index, const std::string& zone,
                       const CoatingCurves& curves) {
    const Coat& coat = history.coats[coat_index];
    const Coat* next = next_coat_on(history, coat, zone);
    CoatFollower follower(history, coat_index, zone, curves);
    bool covered = false;
    const auto cover = [&](double now_s) {
        if (covered || next == nullptr || next->applied_at_s > now_s) return;
        covered = true;
        if (!follower.cured()) follower.covered_by(next->name);
    };
    for (std::size_t i = 0; i < history.bakes.size(); ++i) {
        const HistoryBake& bake = history.bakes[i];
        if (bake.began_at_s < coat.applied_at_s || !takes_part(bake, zone)) continue;
        cover(bake.began_at_s);
        follower.add(i);
    }
    cover(next == nullptr ? 0.0 : next->applied_at_s);
    CoatVerdict verdict = follower.take();
    doubt_covered(verdict);
    verdict.total.reason = reason_text(verdict.total, Units{});
    return verdict;
}

std::vector<std::string> remarks_for(const ShellHistory& history, const ShellVerdict& verdict) {
    std::vector<std::string> remarks;
    const auto any_source = [&](TraceSource source) {
        return std::any_of(verdict.coats.begin(), verdict.coats.end(), [&](const CoatVerdict& coat) {
            return std::any_of(coat.shares.begin(), coat.shares.end(),
                               [&](const BakeShare& share) { return share.source == source; });
        });
    };
    remarks.push_back("where a bake was logged the log counts, where not the prediction does");
    if (any_source(TraceSource::prediction))
        remarks.push_back("some of these verdicts rest on a prediction: it was not measured there");
    if (any_source(TraceSource::nothing))
        remarks.push_back(
            "some zones were in a bake that has neither a log nor a prediction for them: what it gave is not known");
    for (const Coat& coat : history.coats)
        if (coat.coating.basis == ScheduleBasis::not_stated)
            remarks.push_back("the sheet of '" + coat.name +
                              "' does not say whether it means part or booth air: it is read as part; ask the maker");
    remarks.push_back("stays do not add up over bakes: a sheet asks for one unbroken stay");
    return remarks;
}

}  // namespace

ShellVerdict judge_history(const ShellHistory& history, double near_k) {
    if (std::vector<Problem> problems = problems_in(history); !problems.empty()) throw InputError(std::move(problems));
    ShellVerdict verdict;
    for (const HistoryBake& bake : history.bakes) verdict.bake_names.push_back(bake.name);
    for (std::size_t i = 0; i < history.coats.size(); ++i) {
        const CoatingCurves curves(history.coats[i].coating);
        for (const std::string& zone : history.coats[i].zones) verdict.coats.push_back(judge_coat(history, i, zone, curves));
    }
    for (const HeatSensitiveItem& item : history.items) verdict.items.push_back(judge_item_history(history, item, near_k));
    put_in_order(verdict);
    verdict.recoats = recoat_warnings(history);
    verdict.heat_warnings = coat_heat_warnings(history);
    verdict.remarks = remarks_for(history, verdict);
    for (CoatVerdict& coat : verdict.coats) coat.reason = reason_text(coat, verdict.bake_names, Units{});
    for (ItemHistoryVerdict& item : verdict.items) item.reason = reason_text(item, verdict.bake_names, Units{});
    return verdict;
}

}  // namespace bakewright::cure
