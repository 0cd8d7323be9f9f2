// SPDX-License-Identifier: Apache-2.0
#include "requirements.hpp"

#include <algorithm>
#include <cmath>

#include "bakewright/cure/dose.hpp"
#include "bakewright/cure/judge.hpp"
#include "bakewright/cure/readings.hpp"
#include "bakewright/cure/rule.hpp"

namespace bakewright::plan {
namespace {

using cure::JoinedTrace;
using cure::Word;

/// What a kelvin counts for beside seconds.
constexpr double kSecondsPerKelvin = 60.0;

double peak_k(const JoinedTrace& trace) { return cure::peak(trace)->temperature_k; }

const Trace& schedule_trace(const TraceSet& traces, const cure::Coating& coating, const Trace& face) {
    return coating.basis == cure::ScheduleBasis::booth_air ? *traces.first(TraceRole::booth_air) : face;
}

/// @param had  over-bake dose before
double too_much_spare(const Trace& schedule, const Trace& face, const cure::CoatingCurves& curves, const cure::Band& had) {
    cure::Band dose;
    if (curves.maximum) dose = cure::dose_band(schedule, *curves.maximum).dose;
    const cure::Band sum{had.at_low + dose.at_low, had.at_value + dose.at_value, had.at_high + dose.at_high};
    return cure::too_much_slack_s(peak_k(face), sum, curves.coating);
}

void take_least(Standing& least, double spare, const std::string& subject) {
    if (spare < least.spare) least = {spare, subject, Word::good};
}

}  // namespace

/// What counts for the cure: a full stay of this bake, whatever was had before it was cut short.
Trace from_start(const Trace& trace) {
    if (trace.time_s.empty() || trace.time_s.front() >= 0.0) return trace;
    Trace rest = trace;
    const auto begin = std::lower_bound(trace.time_s.begin(), trace.time_s.end(), -1e-6) - trace.time_s.begin();
    rest.time_s.erase(rest.time_s.begin(), rest.time_s.begin() + begin);
    rest.temperature_k.erase(rest.temperature_k.begin(), rest.temperature_k.begin() + begin);
    if (!rest.quality.empty()) rest.quality.erase(rest.quality.begin(), rest.quality.begin() + begin);
    return rest;
}

Requirements::Requirements(const PlanTask& task, const PlanOptions& options, const std::vector<std::string>& coated)
    : task_(task),
      item_margin_k_(options.confidence ? 0.0 : cure::kItemMarginK),
      coated_(coated),
      curves_(task.coating),
      bonds_(bonded_pairs(task.shell)),
      largest_difference_k_(options.largest_difference_k) {
    if (task.so_far != nullptr) add_earlier_coats(task.shell, *task.so_far);
}

void Requirements::add_earlier_coats(const bake::Shell& shell, const SoFar& so_far) {
    for (const CoatSoFar& coat : so_far.coats) {
        const auto curves = earlier_curves_.try_emplace(coat.coating, *coat.coating).first;
        if (shell.find_zone(coat.zone) != nullptr) earlier_.push_back({&coat, &curves->second});
    }
}

double Requirements::cured_spare(const Trace& schedule) const {
    const Trace counted = from_start(schedule);
    return cure::read_window(cure::StayTrace(counted.time_s, counted.temperature_k), curves_.window).slack_s;
}

Standing Requirements::cured(const TraceSet& traces) const {
    Standing least{HUGE_VAL, {}, Word::good};
    if (task_.coating.basis == cure::ScheduleBasis::booth_air) {
        const double spare = cured_spare(*traces.first(TraceRole::booth_air));
        for (const std::string& zone : coated_) take_least(least, spare, zone);
        return least;
    }
    for (const std::string& zone : coated_) take_least(least, cured_spare(*traces.find(zone)), zone);
    return least;
}

void Requirements::take_coats(Standing& least, const TraceSet& traces) const {
    for (const EarlierCoat& coat : earlier_) {
        const Trace& face = *traces.find(coat.had->zone);
        take_least(least,
                   too_much_spare(schedule_trace(traces, *coat.had->coating, face), face, *coat.curves, coat.had->over_bake_dose),
                   coat.had->coat + " on " + coat.had->zone);
    }
}

void Requirements::take_items(Standing& least, const TraceSet& traces) const {
    for (const cure::HeatSensitiveItem& item : task_.items) {
        const Trace* trace = traces.find(item.name);
        if (trace == nullptr) continue;
        const JoinedTrace joined(*trace);
        const ItemSoFar* had = task_.so_far == nullptr ? nullptr : task_.so_far->find_item(item.name);
        for (std::size_t i = 0; i < item.limits.size(); ++i) {
            if (!cure::changes_word(item.limits[i])) continue;
            const auto& before_s = item_margin_k_ > 0.0 ? &ItemSoFar::exposed_at_margin_s : &ItemSoFar::exposed_s;
            const double had_s = had == nullptr ? 0.0 : (had->*before_s).at(i);
            take_least(least, cure::limit_slack_s(joined, item.limits[i], item_margin_k_, had_s), item.name);
        }
    }
}

Standing Requirements::spared(const TraceSet& traces) const {
    Standing least{HUGE_VAL, {}, Word::good};
    for (const std::string& zone : coated_) {
        const Trace& face = *traces.find(zone);
        take_least(least, too_much_spare(schedule_trace(traces, task_.coating, face), face, curves_, {}), zone);
    }
    take_items(least, traces);
    take_coats(least, traces);
    if (largest_difference_k_)
        if (const auto found = difference(traces))
            take_least(least, (*largest_difference_k_ - found->size_k()) * kSecondsPerKelvin,
                       found->pair.laminate + " against " + found->pair.metal);
    return least;
}

double Requirements::largest_use(const TraceSet& traces) const {
    double largest = 0.0;
    const auto take_coat = [&](const std::string& zone, const cure::CoatingCurves& curves) {
        const Trace* face = traces.find(zone);
        if (face == nullptr || !curves.maximum) return;
        largest = std::max(largest, cure::dose_band(schedule_trace(traces, curves.coating, *face), *curves.maximum).dose.most());
    };
    for (const std::string& zone : coated_) take_coat(zone, curves_);
    for (const EarlierCoat& coat : earlier_) take_coat(coat.had->zone, *coat.curves);
    for (const cure::HeatSensitiveItem& item : task_.items) {
        const Trace* trace = traces.find(item.name);
        if (trace == nullptr) continue;
        for (const cure::ExposureLimit& limit : item.limits)
            if (cure::changes_word(limit) && limit.scope == cure::ExposureScope::lifetime && limit.allowed_s > 0.0)
                largest = std::max(
                    largest, cure::stay_at_or_above(*trace, limit.temperature_k - item_margin_k_).total_s / limit.allowed_s);
    }
    return largest;
}

bool Requirements::is_too_large(const std::optional<LargestDifference>& difference) const {
    return largest_difference_k_ && difference && difference->size_k() > *largest_difference_k_;
}

std::vector<CoatOverBaked> Requirements::over_baked(const TraceSet& traces) const {
    std::vector<CoatOverBaked> found;
    for (const EarlierCoat& coat : earlier_) {
        const Trace& face = *traces.find(coat.had->zone);
        CoatOverBaked made{coat.had->coat,
                           coat.had->zone,
                           Word::good,
                           coat.had->over_bake_dose.most(),
                           0.0,
                           peak_k(face),
                           coat.had->coating->absolute_maximum_k};
        made.share_after = made.share_before;
        cure::Band sum = coat.had->over_bake_dose;
        if (coat.curves->maximum) {
            const cure::Band dose = cure::dose_band(schedule_trace(traces, *coat.had->coating, face), *coat.curves->maximum).dose;
            sum = {sum.at_low + dose.at_low, sum.at_value + dose.at_value, sum.at_high + dose.at_high};
            made.share_after = sum.most();
        }
        made.word = cure::word_of(cure::Answer::yes, cure::is_too_much(made.peak_k, sum, *coat.had->coating));
        if (made.word != Word::good) found.push_back(std::move(made));
    }
    return found;
}

bool stands_against(const cure::ItemVerdict& item) {
    if (item.word != cure::Word::check || item.no_limit_known_of.empty()) return item.word != cure::Word::good;
    cure::ItemVerdict known = item;
    known.no_limit_known_of.clear();
    return cure::item_word(known) != cure::Word::good;
}

bool stands_against(const cure::HeatWarning& warning) { return !cure::is_about_flash_off(warning.kind); }

bool Judged::all_good() const {
    const auto not_good = [](const cure::ZoneVerdict& zone) { return zone.word != cure::Word::good; };
    return !(verdict.zones.empty() && verdict.items.empty()) && std::ranges::none_of(verdict.zones, not_good) &&
           std::ranges::none_of(verdict.items, [](const cure::ItemVerdict& item) { return stands_against(item); }) && is_kept();
}

bool Judged::is_kept() const {
    return std::ranges::none_of(verdict.warnings, [](const cure::HeatWarning& one) { return stands_against(one); }) &&
           coats.empty() && !difference_is_too_large;
}

namespace {

/// Of a bake that goes on with one that was cut short, a full new stay counts: its zones from time 0 on, its items from the
/// start.
TraceSet counted_for_cure(const PlanTask& task, const TraceSet& traces) {
    if (task.before == nullptr) return traces;
    TraceSet counted;
    for (const Trace& trace : traces.traces) counted.traces.push_back(trace.role == TraceRole::item ? trace : from_start(trace));
    return counted;
}

}  // namespace

Judged judge(const TraceSet& traces, const SearchModel& model, const Requirements& requirements) {
    const PlanTask& task = model.task();
    Judged made{cure::judge_bake(counted_for_cure(task, traces), task.coating, task.items, model.coated()),
                requirements.over_baked(traces), requirements.difference(traces)};
    made.difference_is_too_large = requirements.is_too_large(made.difference);
    if (task.before != nullptr)
        std::erase_if(made.verdict.warnings, [](const cure::HeatWarning& warning) { return warning.at_s < 0.0; });
    if (task.so_far == nullptr) return made;
    for (cure::ItemVerdict& item : made.verdict.items)
        if (const ItemSoFar* had = task.so_far->find_item(item.item)) item = with_so_far(std::move(item), *had);
    return made;
}

void settle(Judged& judged, const EnsemblePrediction& ensemble) {
    add_certainty(judged.verdict, ensemble, ensemble_origin(ensemble));
}

}  // namespace bakewright::plan
