#include "bakewright/cure/joined_trace.hpp"

#include <algorithm>
#include <cmath>

#include "bakewright/base/error.hpp"

namespace bakewright::cure {
namespace {

bool all_usable(const Trace& trace) {
    const auto finite = [](double temperature_k) { return std::isfinite(temperature_k); };
    if (trace.quality.empty()) return std::all_of(trace.temperature_k.begin(), trace.temperature_k.end(), finite);
    for (std::size_t i = 0; i < trace.size(); ++i)
        if (!trace.usable(i)) return false;
    return true;
}

}  // namespace

JoinedTrace::JoinedTrace(const Trace& trace, double longest_bridge_s) {
    trace.ensure_well_formed();
    if (!all_usable(trace)) {
        drop_unusable(trace, longest_bridge_s);
        return;
    }
    time_s_ = trace.time_s;
    temperature_k_ = trace.temperature_k;
    if (trace.size() > 0) runs_.push_back({0, trace.size()});
}

void JoinedTrace::drop_unusable(const Trace& trace, double longest_bridge_s) {
    bool in_gap = false;
    for (std::size_t i = 0; i < trace.size(); ++i) {
        if (!trace.usable(i)) {
            in_gap = true;
            continue;
        }
        const std::size_t next_sample = kept_time_s_.size();
        if (next_sample == 0) {
            gaps_.lost_before_s = trace.time_s[i] - trace.time_s.front();
            runs_.push_back({0, 1});
        } else if (in_gap) {
            close_gap(kept_time_s_.back(), trace.time_s[i], next_sample, longest_bridge_s);
        }
        kept_time_s_.push_back(trace.time_s[i]);
        kept_temperature_k_.push_back(trace.temperature_k[i]);
        runs_.back().end = next_sample + 1;
        in_gap = false;
    }
    if (!kept_time_s_.empty()) gaps_.lost_after_s = trace.time_s.back() - kept_time_s_.back();
    time_s_ = kept_time_s_;
    temperature_k_ = kept_temperature_k_;
}

void JoinedTrace::close_gap(double from_s, double to_s, std::size_t next_sample, double longest_bridge_s) {
    const double gap_s = to_s - from_s;
    if (gap_s <= longest_bridge_s) {
        gaps_.bridged_s += gap_s;
        return;
    }
    gaps_.open_s += gap_s;
    runs_.push_back({next_sample, next_sample});
}

Trace with_hottest_gaps(const Trace& trace, double fastest_rise_k_per_s, double fastest_fall_k_per_s, double longest_bridge_s) {
    ensure(fastest_rise_k_per_s > 0.0 && fastest_fall_k_per_s > 0.0, "the rates that bound a gap are positive");
    const JoinedTrace joined(trace, longest_bridge_s);
    Trace filled{.name = trace.name, .role = trace.role, .time_s = {}, .temperature_k = {}, .quality = {}};
    for (const JoinedTrace::Run& run : joined.runs()) {
        const double to_s = joined.time_s()[run.begin];
        const double to_k = joined.temperature_k()[run.begin];
        if (!filled.time_s.empty()) {
            const double from_s = filled.time_s.back();
            const double from_k = filled.temperature_k.back();
            // Where the line up from the left meets the line down to the right.
            const double rise_s =
                (to_k - from_k + fastest_fall_k_per_s * (to_s - from_s)) / (fastest_rise_k_per_s + fastest_fall_k_per_s);
            const double apex_s = from_s + rise_s;
            if (apex_s > from_s && apex_s < to_s) {
                filled.time_s.push_back(apex_s);
                filled.temperature_k.push_back(from_k + fastest_rise_k_per_s * rise_s);
            }
        }
        for (std::size_t i = run.begin; i < run.end; ++i) {
            filled.time_s.push_back(joined.time_s()[i]);
            filled.temperature_k.push_back(joined.temperature_k()[i]);
        }
    }
    return filled;
}

}  // namespace bakewright::cure
