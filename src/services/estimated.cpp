// SPDX-License-Identifier: Apache-2.0
#include "bakewright/services/estimated.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <map>

#include "bakewright/base/error.hpp"
#include "bakewright/report/estimate_text.hpp"
#include "bakewright/services/evidence.hpp"
#include "bakewright/services/track_record.hpp"
#include "bakewright/services/tune_records.hpp"

namespace bakewright::services {
namespace {

/// Air that was not logged for longer says nothing of what the shell got meanwhile [s]; common practice, no source.
constexpr double kLongestAirGapS = 300.0;

/// Where the air was not logged for too long, for people; empty where it was.
std::string air_gap(const Trace& air) {
    const Trace usable = air.usable_samples();
    for (std::size_t i = 1; i < usable.size(); ++i)
        if (usable.time_s[i] - usable.time_s[i - 1] > kLongestAirGapS)
            return fmt::format("the booth's air was not logged from {} to {} after the start",
                               format_duration(usable.time_s[i - 1]), format_duration(usable.time_s[i]));
    return {};
}

/// Why a log cannot be estimated although its shell and booth are known; empty where it can.
std::string why_no_estimate(const StoredBake& bake) {
    const Trace* air = bake.readings().first(TraceRole::booth_air);
    if (air == nullptr) return bake.cycle ? "" : "no channel of the log is the booth's air";
    return air_gap(*air);
}

bake::Booth booth_of(const StoredBake& bake, const CertaintyOptions& how) {
    bake::Booth booth = *bake.booth;
    if (how.book != nullptr) booth.record = booth_record(*how.book, booth.id, bake.record.id);
    return booth;
}

plan::EnsemblePrediction ensemble_in(const tune::BakeEstimate& estimate, const tune::TuneTask& task, const StoredBake& bake,
                                     const cure::Coating& coating, const CertaintyOptions& how) {
    plan::EnsemblePredictOptions asked;
    asked.member_count = estimate.members.size();
    asked.uncertainty = estimate.prior;
    asked.progress = how.progress;
    auto ensemble =
        plan::ensemble_of(estimate.driven, task.shell, task.booth, coating, bake.item_limits(), asked, {}, estimate.members);
    if (!ensemble.is_complete) throw FileError("judging was interrupted");
    return ensemble;
}

/// The estimate's courses, but for what was read by hand: too few readings to hold the model to, and never passed over. Channels
/// that are none of the shell's stay as they were read.
TraceSet merged(const TraceSet& estimated, const StoredBake& bake) {
    TraceSet traces = estimated;
    std::erase_if(traces.traces, [&](const Trace& trace) { return bake.hand_standard_k.contains(trace.name); });
    for (const Trace& trace : bake.traces.traces)
        if (traces.find(trace.name) == nullptr) traces.traces.push_back(trace);
    return traces;
}

tune::EstimateOptions estimate_options(const CertaintyOptions& how, const StoredBake& bake) {
    tune::EstimateOptions options;
    if (how.book != nullptr) options.earlier_evidence = earlier_evidence(*how.book, {bake_label(bake.record)});
    options.member_count = how.member_count;
    options.keeps_faults = how.believes_probes;
    return options;
}

}  // namespace

std::optional<EstimatedBake> estimate_of(const StoredBake& bake, const cure::Coating& coating, const CertaintyOptions& how,
                                         std::string& why_not) {
    if (bake.record.kind != book::BakeKind::logged || !bake.shell || !bake.booth) return std::nullopt;
    why_not = why_no_estimate(bake);
    if (!why_not.empty()) return std::nullopt;
    const tune::TuneTask task{
        bake.shell->shell, booth_of(bake, how), {{bake_label(bake.record), bake.readings(), bake.cycle, bake.probes}}};
    try {
        tune::Estimate estimate = tune::estimate(task, estimate_options(how, bake));
        plan::EnsemblePrediction ensemble = ensemble_in(estimate.bakes.front(), task, bake, coating, how);
        TraceSet traces = merged(estimate.bakes.front().traces, bake);
        return EstimatedBake{std::move(estimate), std::move(ensemble), std::move(traces)};
    } catch (const InputError& wrong) {
        why_not = wrong.what();
    } catch (const SolveError& wrong) {
        why_not = wrong.what();
    }
    return std::nullopt;
}

void keep_evidence_of(book::Book& book, const StoredBake& bake) {
    if (bake.record.kind != book::BakeKind::logged || !bake.shell || !bake.booth || !why_no_estimate(bake).empty()) return;
    const tune::TuneTask task{
        bake.shell->shell, *bake.booth, {{bake_label(bake.record), bake.readings(), bake.cycle, bake.probes}}};
    tune::EstimateOptions options;
    options.member_count = 1;
    try {
        const tune::Estimate estimate = tune::estimate(task, options);
        if (estimate.is_conditioned) keep_evidence(book, bake.record, estimate.evidence);
    } catch (const InputError&) {  // what cannot be estimated says nothing
    } catch (const SolveError&) {
    } catch (const BookError&) {  // the log is kept: a later tune hears it all the same
    }
}

std::optional<plan::EnsemblePrediction> replay_ensemble(const StoredBake& bake, const cure::Coating& coating,
                                                        const CertaintyOptions& how) {
    const Trace* air = bake.traces.first(TraceRole::booth_air);
    const bool is_replay = bake.record.kind == book::BakeKind::predicted && bake.shell && bake.booth && !bake.cycle;
    if (!is_replay || air == nullptr || air->size() < 2) return std::nullopt;
    tune::TuneTask task{bake.shell->shell, booth_of(bake, how), {{bake_label(bake.record), {}, {}, {}}}};
    task.bakes.front().traces.traces.push_back(*air);
    const tune::Estimate estimate = tune::estimate(task, estimate_options(how, bake));
    return ensemble_in(estimate.bakes.front(), task, bake, coating, how);
}

void estimate_logs(LoadedHistory& loaded, const CertaintyOptions& how) {
    if (how.given || how.measured_only || loaded.history.coats.empty()) return;
    for (const auto& half : loaded.halves) {
        std::string why_not;
        auto estimated = estimate_of(*half, loaded.history.coats.front().coating, how, why_not);
        if (!estimated) continue;
        half->traces = std::move(estimated->traces);
        std::map<std::string, double>& widths = loaded.estimated_standard_k[half->record.id];
        for (const plan::ZoneChances& zone : estimated->ensemble.zones) widths[zone.zone] = zone.band.plateau_standard_k();
        for (const plan::ItemChances& item : estimated->ensemble.items) widths[item.item] = item.band.plateau_standard_k();
        for (const auto& [by_hand, standard_k] : half->hand_standard_k) widths[by_hand] = standard_k;
    }
}

cure::KnownFrom known_from(const StoredBake& bake, const tune::Estimate& estimate, const std::string& name) {
    if (bake.traces.find(name) == nullptr) return cure::KnownFrom::estimated;
    const auto used = std::find_if(estimate.channels.begin(), estimate.channels.end(),
                                   [&](const tune::ChannelFinding& one) { return one.channel == name; });
    return used != estimate.channels.end() && used->is_fitted ? cure::KnownFrom::measured_and_modelled
                                                              : cure::KnownFrom::estimated;
}

void put_estimate(cure::BakeVerdict& verdict, const StoredBake& bake, const tune::Estimate& estimate) {
    for (cure::ZoneVerdict& zone : verdict.zones) {
        if (zone.word == cure::Word::not_judged) continue;
        zone.known_from = services::known_from(bake, estimate, zone.zone);
        if (zone.certainty) zone.certainty->is_predicted = zone.known_from == cure::KnownFrom::estimated;
    }
    for (cure::ItemVerdict& item : verdict.items) {
        if (item.word == cure::Word::not_judged) continue;
        item.known_from = services::known_from(bake, estimate, item.item);
        if (item.certainty) item.certainty->is_predicted = item.known_from == cure::KnownFrom::estimated;
    }
    for (const tune::ChannelFinding& channel : estimate.channels)
        if (channel.fault) verdict.questions.push_back(report::fault_question(channel, Units{}));
}

std::string estimate_origin(const tune::Estimate& estimate) {
    if (!estimate.is_conditioned)
        return fmt::format("simulated bakes in the logged air with the unknowns varied; the log tells no more of the shell: {}",
                           estimate.why_not);
    const auto channels = std::count_if(estimate.channels.begin(), estimate.channels.end(),
                                        [](const tune::ChannelFinding& one) { return one.is_fitted; });
    return fmt::format(
        "the model of the shell held to {} {} of the log: {} unknowns, {} simulated bakes that agree with the readings", channels,
        channels == 1 ? "probe" : "probes", estimate.unknowns, estimate.bakes.front().members.size());
}

namespace {

/// Zones and items that were read by hand are judged on those readings alone: too few to hold the model to, and never passed
/// over.
void keep_hand_readings(cure::BakeVerdict& verdict, const StoredBake& bake, const cure::Coating& coating,
                        const CertaintyOptions& how, const std::optional<profile::ShellProfile>& shell) {
    StoredBake counted = bake;
    if (shell) counted.shell = shell;
    cure::BakeVerdict by_hand = judge(counted, coating);
    static_cast<void>(add_certainty(by_hand, bake, coating, how));
    for (cure::ZoneVerdict& zone : verdict.zones)
        for (const cure::ZoneVerdict& one : by_hand.zones)
            if (one.zone == zone.zone && bake.hand_standard_k.contains(zone.zone))
                zone = one, zone.known_from = cure::KnownFrom::measured;
    for (cure::ItemVerdict& item : verdict.items)
        for (const cure::ItemVerdict& one : by_hand.items)
            if (one.item == item.item && bake.hand_standard_k.contains(item.item))
                item = one, item.known_from = cure::KnownFrom::measured;
    verdict.chance.reset();
    cure::sort_worst_first(verdict);
}

/// On the estimate of every zone; nothing where there is none.
std::optional<Judged> judged_by_estimate(const StoredBake& bake, const cure::Coating& coating, const CertaintyOptions& how,
                                         const std::optional<profile::ShellProfile>& shell, std::string& why_not) {
    auto estimated = estimate_of(bake, coating, how, why_not);
    if (!estimated) return std::nullopt;
    StoredBake of_all = bake;
    if (shell) of_all.shell = shell;
    of_all.traces = std::move(estimated->traces);
    Judged made{judge(of_all, coating), std::move(estimated->ensemble), std::move(estimated->estimate), std::move(of_all.traces)};
    plan::add_certainty(made.verdict, *made.ensemble, estimate_origin(*made.estimate));
    put_estimate(made.verdict, bake, *made.estimate);
    if (!bake.hand_standard_k.empty()) keep_hand_readings(made.verdict, bake, coating, how, shell);
    return made;
}

/// Each word comes from the zone's own probe.
void say_measured(cure::BakeVerdict& verdict) {
    for (cure::ZoneVerdict& zone : verdict.zones)
        if (zone.word != cure::Word::not_judged) zone.known_from = cure::KnownFrom::measured;
    for (cure::ItemVerdict& item : verdict.items)
        if (item.word != cure::Word::not_judged) item.known_from = cure::KnownFrom::measured;
}

}  // namespace

Judged judged(const StoredBake& bake, const cure::Coating& coating, const CertaintyOptions& how,
              const std::optional<profile::ShellProfile>& shell) {
    std::string why_not;
    if (!how.given && !how.measured_only)
        if (auto made = judged_by_estimate(bake, coating, how, shell, why_not)) return *std::move(made);
    StoredBake counted = bake;
    if (shell) counted.shell = shell;
    Judged made{judge(counted, coating), {}, {}, bake.traces};
    made.ensemble = add_certainty(made.verdict, bake, coating, how);
    if (bake.record.kind == book::BakeKind::logged) say_measured(made.verdict);
    if (!why_not.empty()) made.verdict.remarks.emplace_back(fmt::format("zones without a probe are not estimated: {}", why_not));
    return made;
}

}  // namespace bakewright::services
