#include "bakewright/report/zone_summary.hpp"

#include <algorithm>
#include <limits>

#include "bakewright/cure/readings.hpp"

namespace bakewright::report {
namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
constexpr double kRiseSpanS = 60.0;

double last_usable_k(const cure::JoinedTrace& trace) {
    return trace.size() == 0 ? kNone : trace.temperature_k()[trace.size() - 1];
}

ZoneSummary summarize_trace(const Trace& trace, std::optional<double> arrival_k) {
    const cure::JoinedTrace joined(trace);
    const auto peak = cure::peak(joined);
    ZoneSummary summary{.name = trace.name,
                        .role = trace.role,
                        .peak_temperature_k = peak ? peak->temperature_k : kNone,
                        .peak_at_s = peak ? peak->at_s : kNone,
                        .end_temperature_k = last_usable_k(joined),
                        .reached_at_s = {},
                        .steepest_rate_k_per_s = {}};
    if (arrival_k) summary.reached_at_s = cure::stay_at_or_above(joined, *arrival_k).first_up_s;
    if (const auto rise = cure::steepest_rise(joined, kRiseSpanS)) summary.steepest_rate_k_per_s = rise->rate_k_per_s;
    return summary;
}

int group_of(TraceRole role) {
    switch (role) {
        case TraceRole::booth_air:
            return 0;
        case TraceRole::booth_wall:
            return 1;
        case TraceRole::zone:
        case TraceRole::test_panel:
            return 2;
        default:
            return 3;
    }
}

/// Later than ever for a zone that never arrives; among those the coldest first.
bool arrives_later(const ZoneSummary& a, const ZoneSummary& b) {
    const double never = std::numeric_limits<double>::infinity();
    const double a_s = a.reached_at_s.value_or(never);
    const double b_s = b.reached_at_s.value_or(never);
    return a_s != b_s ? a_s > b_s : a.peak_temperature_k < b.peak_temperature_k;
}

}  // namespace

std::optional<double> arrival_temperature_k(const std::vector<bake::ResolvedStage>& stages) {
    std::optional<double> held_k;
    std::optional<double> any_k;
    for (const bake::ResolvedStage& stage : stages) {
        any_k = std::max(any_k.value_or(stage.end_k), stage.end_k);
        if (stage.kind == bake::StageKind::hold) held_k = std::max(held_k.value_or(stage.end_k), stage.end_k);
    }
    const std::optional<double> highest_k = held_k ? held_k : any_k;
    if (!highest_k) return std::nullopt;
    return *highest_k - kArrivedBelowHoldK;
}

std::vector<ZoneSummary> summarize(const TraceSet& traces, std::optional<double> arrival_k) {
    std::vector<ZoneSummary> summaries;
    for (const Trace& trace : traces.traces) summaries.push_back(summarize_trace(trace, arrival_k));
    std::stable_sort(summaries.begin(), summaries.end(), [](const ZoneSummary& a, const ZoneSummary& b) {
        const int group_a = group_of(a.role);
        const int group_b = group_of(b.role);
        if (group_a != group_b) return group_a < group_b;
        return group_a == 2 && arrives_later(a, b);
    });
    return summaries;
}

}  // namespace bakewright::report
