// SPDX-License-Identifier: Apache-2.0
#include "bakewright/probe/merge_logs.hpp"

#include <fmt/format.h>

#include <cmath>
#include <limits>

#include "align.hpp"
#include "bakewright/base/error.hpp"
#include "bakewright/probe/map_channels.hpp"
#include "iso_time.hpp"

namespace bakewright::probe {
namespace {

constexpr double kClockErrorS = 7200.0;

/// The channel named, or the only one whose words say that it is the booth's air.
std::string air_channel(const TraceSet& log, const std::string& named, const std::string& which) {
    if (!named.empty()) {
        if (log.find(named) != nullptr) return named;
        throw InputError(Problem{{}, 0, "air", fmt::format("the {} log has no channel '{}'", which, named)});
    }
    for (const Trace& trace : log.traces)
        if (trace.role == TraceRole::booth_air) return trace.name;
    TraceSet copy = log;
    for (const ChannelMatch& match : map_channels(copy, {}).matched)
        if (match.role == TraceRole::booth_air) return match.channel;
    throw InputError(
        Problem{{},
                0,
                "air",
                fmt::format("in the {} log no single channel is the booth's air by its name; name it, or give the shift "
                            "between the logs",
                            which)});
}

/// Both clocks tell a date, and both or neither their zone.
void compare_clocks(const TraceSet& first, const TraceSet& second, LogAlignment& alignment) {
    const auto a = read_start_time(first.started_at), b = read_start_time(second.started_at);
    if (!a || !b || a->zone_minutes.has_value() != b->zone_minutes.has_value()) return;
    alignment.clocks_compared = true;
    alignment.clock_offset_s = b->instant_s() - a->instant_s();
}

Trace moved(Trace trace, double by_s) {
    for (double& time_s : trace.time_s) time_s += by_s;
    return trace;
}

std::string free_name(const TraceSet& traces, const TraceSet& others, const std::string& name) {
    std::string found = name;
    for (int n = 2; traces.find(found) != nullptr || (found != name && others.find(found) != nullptr); ++n)
        found = fmt::format("{} ({})", name, n);
    return found;
}

}  // namespace

MergedLogs merge_logs(const TraceSet& first, const TraceSet& second, const MergeOptions& options) {
    if (options.shift_s && !std::isfinite(*options.shift_s))
        throw InputError(Problem{{}, 0, "shift", "accepted is a time such as \"+35 s\" or \"-2 min\""});
    MergedLogs merged;
    LogAlignment& alignment = merged.alignment;
    compare_clocks(first, second, alignment);
    if (options.shift_s) {
        alignment.is_given = true;
        alignment.shift_s = *options.shift_s;
    } else {
        alignment.first_air = air_channel(first, options.first_air, "first");
        alignment.second_air = air_channel(second, options.second_air, "second");
        const double within_s = alignment.clocks_compared ? kClockErrorS : std::numeric_limits<double>::infinity();
        align(*first.find(alignment.first_air), moved(*second.find(alignment.second_air), alignment.clock_offset_s), within_s,
              alignment);
    }
    merged.traces = first;
    for (const Trace& trace : second.traces) {
        Trace added = moved(trace, alignment.clock_offset_s + alignment.shift_s);
        added.name = free_name(merged.traces, second, trace.name);
        if (added.name != trace.name) merged.renamed.emplace_back(trace.name, added.name);
        merged.traces.traces.push_back(std::move(added));
    }
    return merged;
}

}  // namespace bakewright::probe
