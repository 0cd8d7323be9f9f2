#include <algorithm>
#include <tuple>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/judge.hpp"
#include "bakewright/cure/readings.hpp"
#include "bakewright/cure/reason.hpp"
#include "history_parts.hpp"
#include "history_times.hpp"
#include "judge_zone.hpp"
#include "word_rank.hpp"

namespace bakewright::cure {
namespace {

bool usable(const Trace* trace) {
    if (trace == nullptr) return false;
    std::size_t count = 0;
    for (std::size_t i = 0; i < trace->size() && count < 2; ++i) count += trace->usable(i) ? 1 : 0;
    return count == 2;
}

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
        if (face.trace == nullptr || !usable(schedule)) {
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

void sort_worst_first(std::vector<CoatVerdict>& coats) {
    const auto key = [](const CoatVerdict& coat) {
        const ZoneVerdict& zone = coat.total;
        const double margin = zone.word == Word::over ? -zone.peak_temperature_k : zone.window.slack_s;
        return std::tuple(word_rank(zone.word), margin, coat.coat_index, std::string_view(zone.zone));
    };
    std::sort(coats.begin(), coats.end(),
              [&](const CoatVerdict& left, const CoatVerdict& right) { return key(left) < key(right); });
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

/// Solvent of a film that was covered before it was cured has not left: what it got later does not make it GOOD.
void doubt_covered(CoatVerdict& coat) {
    if (!coat.covered_by.empty() && coat.total.word == Word::good) coat.total.word = Word::check;
}

void put_in_order(ShellVerdict& verdict) {
    sort_worst_first(verdict.coats);
    sort_worst_first(verdict.items);
}

FoundTrace find_trace(const HistoryBake& bake, const std::string& name) {
    const auto in = [&](const TraceSet* set) { return set == nullptr ? nullptr : set->find(name); };
    if (const Trace* logged = in(bake.log); usable(logged)) return {logged, TraceSource::log};
    if (const Trace* predicted = in(bake.prediction); usable(predicted)) return {predicted, TraceSource::prediction};
    return {};
}

const Trace* find_booth_air(const HistoryBake& bake) {
    for (const TraceSet* set : {bake.log, bake.prediction})
        if (set != nullptr && usable(set->first(TraceRole::booth_air))) return set->first(TraceRole::booth_air);
    return nullptr;
}

const Coat* next_coat_on(const ShellHistory& history, const Coat& coat, const std::string& zone) {
    const auto comes_after = [](const Coat& one, const Coat& other) {
        return one.applied_at_s != other.applied_at_s ? one.applied_at_s > other.applied_at_s : &one > &other;
    };
    const Coat* next = nullptr;
    for (const Coat& other : history.coats)
        if (named(other.zones, zone) && comes_after(other, coat) && (next == nullptr || comes_after(*next, other))) next = &other;
    return next;
}

Word ShellVerdict::worst() const noexcept {
    if (coats.empty() && items.empty()) return Word::not_judged;
    Word worst_word = Word::good;
    const auto take = [&](Word word) {
        if (word_rank(word) < word_rank(worst_word)) worst_word = word;
    };
    for (const CoatVerdict& coat : coats) take(coat.total.word);
    for (const ItemHistoryVerdict& item : items) take(item.total.word);
    return worst_word;
}

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
