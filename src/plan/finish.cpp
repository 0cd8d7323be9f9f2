// SPDX-License-Identifier: Apache-2.0
#include "bakewright/plan/finish.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <iterator>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/judge.hpp"

namespace bakewright::plan {
namespace {

/// A log counts where it covers the bake without an open gap.
bool counts(const Trace& log, double end_s) {
    if (log.size() < 2 || log.time_s.back() < end_s - cure::kLongestBridgedGapS) return false;
    if (log.time_s.front() > cure::kLongestBridgedGapS) return false;
    for (std::size_t i = 0; i + 1 < log.size(); ++i)
        if (log.time_s[i + 1] - log.time_s[i] > cure::kLongestBridgedGapS) return false;
    return true;
}

bool is_node_of(const std::string& node, const std::string& place) {
    return node == place || node.starts_with(place + " layer ");
}

double start_of(const TraceSet& log, double otherwise_k) {
    double sum_k = 0.0;
    int count = 0;
    for (const Trace& trace : log.traces) {
        const Trace usable = trace.usable_samples();
        if (trace.role != TraceRole::zone || usable.size() == 0) continue;
        sum_k += usable.temperature_k.front();
        ++count;
    }
    return count == 0 ? otherwise_k : sum_k / count;
}

void cut_and_shift(Trace& trace, double end_s) {
    const auto kept = std::upper_bound(trace.time_s.begin(), trace.time_s.end(), end_s + 1e-9) - trace.time_s.begin();
    trace.time_s.resize(static_cast<std::size_t>(kept));
    trace.temperature_k.resize(static_cast<std::size_t>(kept));
    for (double& time_s : trace.time_s) time_s -= end_s;
}

}  // namespace

BrokenBake broken_bake(const bake::Shell& shell, const bake::Booth& booth, const TraceSet& log,
                       const bake::PredictOptions& predict) {
    const Trace* logged_air = log.first(TraceRole::booth_air);
    if (logged_air == nullptr || logged_air->usable_samples().size() < 2)
        throw InputError(
            Problem{{}, 0, "finish", "the log has no booth air: nobody can say where the zones without a probe stand"});
    const Trace air = logged_air->usable_samples();
    bake::PredictOptions options = predict;
    options.start_temperature_k = start_of(log, predict.start_temperature_k);
    bake::Prediction replay = bake::predict_from_air(shell, booth, air, options, bake::surface_traces(log, air));
    const double end_s = air.time_s.back();
    BrokenBake broken{std::move(replay.traces), std::move(replay.node_end_k), {}, end_s - air.time_s.front()};
    for (Trace& trace : broken.so_far.traces) {
        const Trace* probe = log.find(trace.name);
        if (probe != nullptr && counts(probe->usable_samples(), end_s)) {
            const double model_k = trace.temperature_k.back();
            trace.time_s = probe->usable_samples().time_s;
            trace.temperature_k = probe->usable_samples().temperature_k;
            broken.measured.push_back(trace.name);
            for (auto& [node, node_k] : broken.node_k)
                if (is_node_of(node, trace.name)) node_k += trace.temperature_k.back() - model_k;
        }
        cut_and_shift(trace, end_s);
    }
    return broken;
}

double purge_time_s(const bake::Booth& booth, const std::optional<double>& asked_s) {
    if (asked_s && *asked_s <= 0.0 && !booth.purges_by_itself)
        throw InputError(
            Problem{{},
                    0,
                    "purge",
                    "is 0 min: no burner lights before the vapour is purged; where the booth's controller sees to it, its "
                    "profile says purge = \"by itself\""});
    if (asked_s) return *asked_s;
    if (booth.purges_by_itself) return 0.0;
    if (booth.purge_s) return *booth.purge_s;
    const double flow_m3_per_s = booth.ventilation[static_cast<std::size_t>(bake::FanMode::purge)].make_up_m3_per_s;
    if (flow_m3_per_s <= 0.0)
        throw InputError(
            Problem{{},
                    0,
                    "purge",
                    fmt::format("how long is not known: write purge = \"... min\" or \"by itself\" into booth '{}', or say it",
                                booth.id)});
    return std::ceil(kPurgeVolumes * booth.volume_m3 / flow_m3_per_s / kSecondPerMinute - 1e-9) * kSecondPerMinute;
}

std::vector<cure::ZoneVerdict> not_yet_cured(const PlanTask& task) {
    ensure(task.before != nullptr, "what was had is asked of a bake that has a beginning");
    const cure::BakeVerdict verdict = cure::judge_bake(*task.before, task.coating, task.items, task.shell.coated_place_names());
    std::vector<cure::ZoneVerdict> open;
    std::copy_if(verdict.zones.begin(), verdict.zones.end(), std::back_inserter(open),
                 [](const cure::ZoneVerdict& zone) { return !zone.window.is_cured(); });
    return open;
}

TraceSet gone_on(const TraceSet* before, const TraceSet& traces) {
    if (before == nullptr) return traces;
    TraceSet whole;
    for (const Trace& trace : traces.traces) {
        const Trace* had = before->find(trace.name);
        if (had == nullptr) continue;
        Trace joined = *had;
        for (std::size_t i = 0; i < trace.size(); ++i) {
            if (trace.time_s[i] <= joined.time_s.back() + 1e-6) continue;
            joined.time_s.push_back(trace.time_s[i]);
            joined.temperature_k.push_back(trace.temperature_k[i]);
        }
        whole.traces.push_back(std::move(joined));
    }
    return whole;
}

}  // namespace bakewright::plan
