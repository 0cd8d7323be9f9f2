// SPDX-License-Identifier: Apache-2.0
#include "bakewright/services/live.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <tuple>
#include <utility>

#include "bakewright/base/error.hpp"
#include "bakewright/base/units.hpp"
#include "bakewright/book/live_log.hpp"
#include "bakewright/cure/course.hpp"
#include "bakewright/cure/readings.hpp"
#include "bakewright/report/text.hpp"
#include "bakewright/services/estimated.hpp"
#include "bakewright/services/live_judging.hpp"
#include "bakewright/services/live_outlook.hpp"
#include "bakewright/tune/forecast.hpp"

namespace bakewright::services {
namespace {

using report::LiveState;

/// Why a bake cannot be foretold at all, and what to do; empty where it can.
std::pair<std::string, std::string> lacking(const StoredBake& bake) {
    if (!bake.shell) return {"it is not known what is baked", "Name the shell with --shell when the recording starts"};
    if (!bake.booth) return {"it is not known in which booth", "Name the booth with --booth when the recording starts"};
    if (!bake.coating) return {"it is not known what was sprayed", "Name the coating with --coating when the recording starts"};
    if (bake.condensed_span_s > 0.0) return {"the log is too long to be read whole", "Judge it when it is over"};
    const Trace* air = bake.traces.first(TraceRole::booth_air);
    if (air == nullptr || air->usable_samples().size() < 2)
        return {"the booth's air has no reading yet",
                "Put a probe into the booth's air and give its channel the place 'booth air'"};
    if (const Trace usable = air->usable_samples(); usable.time_s.back() - usable.time_s.front() < kSecondPerMinute)
        return {"the booth's air was read for less than a minute", "Wait a minute"};
    return {};
}

double newest_reading_s(const TraceSet& traces) {
    double newest_s = 0.0;
    for (const Trace& trace : traces.traces)
        if (const Trace usable = trace.usable_samples(); usable.size() > 0) newest_s = std::max(newest_s, usable.time_s.back());
    return newest_s;
}

std::optional<double> heat_due_s(const StoredBake& bake, const std::optional<bake::Cycle>& cycle) {
    if (!cycle || !bake.booth || bake.traces.traces.empty()) return std::nullopt;
    const Trace* air = bake.traces.first(TraceRole::booth_air);
    if (air == nullptr || air->time_s.empty()) return std::nullopt;
    for (const bake::ResolvedStage& stage : bake::resolve(*cycle, *bake.booth))
        if (stage.kind == bake::StageKind::ramp) return air->time_s.front() + stage.begin_s;
    return std::nullopt;
}

/// So far it is looked ahead: past the end of what the cycle still has.
double ahead_s(const std::optional<bake::Cycle>& cycle, const bake::Booth& booth, double now_s) {
    constexpr double kLeastS = 3.0 * 3600.0, kMoreS = 2.0 * 3600.0, kMostS = 12.0 * 3600.0;
    if (!cycle) return kLeastS;
    return std::clamp(bake::resolve(*cycle, booth).back().end_s - now_s + kMoreS, kLeastS, kMostS);
}

}  // namespace

StoredBake recorded_so_far(book::Book& book, book::BakeId bake) {
    StoredBake stored = load_bake(book, bake);
    for (const Trace& fresh : book::recorded_since(book, bake).traces) {
        const auto known = std::find_if(stored.traces.traces.begin(), stored.traces.traces.end(),
                                        [&](const Trace& one) { return one.name == fresh.name; });
        if (known == stored.traces.traces.end()) {
            stored.traces.traces.push_back(fresh);
            continue;
        }
        const double last_s = known->time_s.empty() ? -1e18 : known->time_s.back();
        const bool has_flags = !known->quality.empty() || !fresh.quality.empty();
        if (has_flags) known->quality.resize(known->size(), SampleQuality::good);
        for (std::size_t i = 0; i < fresh.size(); ++i) {
            if (fresh.time_s[i] <= last_s) continue;
            known->time_s.push_back(fresh.time_s[i]);
            known->temperature_k.push_back(fresh.temperature_k[i]);
            if (has_flags) known->quality.push_back(fresh.quality.empty() ? SampleQuality::good : fresh.quality[i]);
        }
    }
    return stored;
}

void cut_off_at(StoredBake& bake, double time_s) {
    for (Trace& trace : bake.traces.traces) {
        const auto count = static_cast<std::size_t>(std::upper_bound(trace.time_s.begin(), trace.time_s.end(), time_s + 1e-9) -
                                                    trace.time_s.begin());
        trace.time_s.resize(count);
        trace.temperature_k.resize(count);
        if (!trace.quality.empty()) trace.quality.resize(count);
    }
}

std::optional<bake::Cycle> cycle_set_for(book::Book& book, const StoredBake& bake) {
    if (bake.cycle || !bake.record.paired_bake) return bake.cycle;
    return load_bake(book, *bake.record.paired_bake).cycle;
}

std::optional<tune::Forecast> LiveBake::foretold(const StoredBake& so_far, const std::optional<bake::Cycle>& cycle,
                                                 LiveState& state) {
    tune::ForecastOptions asked;
    asked.estimate.member_count = options_.member_count;
    asked.estimate.thread_count = options_.thread_count;
    asked.estimate.from = from_;
    asked.estimate.earlier_evidence = options_.earlier_evidence;
    asked.estimate.keeps_linear_form = options_.moves_each_second;
    asked.cycle = cycle;
    asked.heat_on_s = cure::heat_on_s(*so_far.traces.first(TraceRole::booth_air));
    asked.setpoint_k = options_.setpoint_k;
    asked.ahead_s = ahead_s(cycle, *so_far.booth, state.now_s);
    bake::Booth booth = *so_far.booth;
    booth.record = options_.record;
    const tune::TuneTask task{so_far.shell->shell, booth, {{"the bake", so_far.traces, so_far.cycle, so_far.probes}}};
    try {
        tune::Forecast forecast(task, asked);
        from_.reset();
        if (forecast.estimate().is_conditioned) from_ = forecast.estimate().point;
        on_ = fill_state(state, so_far, forecast);
        state.members = options_.member_count;
        state.readings = forecast.estimate().readings;
        return forecast;
    } catch (const InputError& wrong) {
        state.why_not = wrong.what();
    } catch (const SolveError& wrong) {
        state.why_not = wrong.what();
        from_.reset();
    }
    return std::nullopt;
}

LiveState LiveBake::update(const StoredBake& so_far) {
    const auto began = std::chrono::steady_clock::now();
    LiveState state;
    state.bake = static_cast<std::int64_t>(so_far.record.id);
    if (so_far.booth) state.booth = so_far.booth->id;
    state.now_s = newest_reading_s(so_far.traces);
    state.started_at = so_far.traces.started_at.empty() ? so_far.record.started_at : so_far.traces.started_at;
    state.now_at = report::clock_text(state.started_at, state.now_s);
    state.update = ++updates_;
    std::tie(state.why_not, state.to_do) = lacking(so_far);
    const std::optional<bake::Cycle> cycle = options_.cycle ? options_.cycle : so_far.cycle;
    std::optional<tune::Forecast> forecast;
    if (state.why_not.empty()) forecast = foretold(so_far, cycle, state);
    const cure::Coating none{};
    const TraceSet nothing;
    const std::vector<tune::ChannelFinding> no_channels;
    const std::vector<tune::PhaseSpan> no_phases;
    const LiveFindings findings{.state = state,
                                .log = so_far.traces,
                                .coating = so_far.coating ? *so_far.coating : none,
                                .likeliest = forecast ? forecast->estimate().bakes.front().traces : nothing,
                                .channels = forecast ? forecast->estimate().channels : no_channels,
                                .phases = forecast ? forecast->phases() : no_phases,
                                .heat_due_s = heat_due_s(so_far, cycle),
                                .high_limit_k = so_far.booth ? so_far.booth->high_limit_k : std::nullopt,
                                .ambient_k = so_far.booth ? so_far.booth->ambient_k : 0.0};
    changes_ = board_.take(standing_warnings(findings), state.now_s);
    state.warnings = board_.standing();
    state.estimated_s = state.now_s;
    seconds_.reset();
    if (forecast && options_.moves_each_second)
        seconds_ = std::make_shared<LiveSeconds>(so_far, *forecast, std::move(*on_), state);
    on_.reset();
    state.compute_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count();
    note_mid_hold(state);
    return state;
}

void LiveBake::note_mid_hold(const LiveState& state) {
    if (said_ || state.phase != bake::StageKind::hold || !state.heat_off) return;
    if (!hold_ends_s_) hold_ends_s_ = state.heat_off->off_s;
    if (state.now_s < (state.phase_since_s + *hold_ends_s_) / 2.0) return;
    said_ = said_in(state);
}

SaidAtMidHold said_in(const LiveState& state) {
    SaidAtMidHold said{.at_s = state.now_s};
    if (state.heat_off) said.heat_off_s = state.heat_off->off_s;
    for (const report::LivePlace& place : state.places)
        if (place.is_coated) said.zones.push_back({place.name, place.known_from, place.good});
    return said;
}

}  // namespace bakewright::services
