#pragma once

#include <algorithm>

#include "bakewright/cure/history.hpp"

namespace bakewright::cure {

/// The last moment of a bake that was logged or predicted.
[[nodiscard]] inline double ended_at_s(const HistoryBake& bake) {
    // Where there is a log, the booth was opened when it ended, whatever was predicted.
    const TraceSet* traces = bake.log != nullptr ? bake.log : bake.prediction;
    return bake.began_at_s + (traces == nullptr ? 0.0 : traces->end_s());
}

[[nodiscard]] inline bool named(const std::vector<std::string>& names, const std::string& name) {
    return std::find(names.begin(), names.end(), name) != names.end();
}

[[nodiscard]] inline bool takes_part(const HistoryBake& bake, const std::string& zone) {
    return bake.zones.empty() || named(bake.zones, zone);
}

[[nodiscard]] inline bool share_a_zone(const HistoryBake& one, const HistoryBake& other) {
    if (one.zones.empty() || other.zones.empty()) return true;
    return std::any_of(one.zones.begin(), one.zones.end(), [&](const std::string& zone) { return named(other.zones, zone); });
}

/// A trace by name and where it came from: the log's where it has two usable samples or more, else the prediction's.
struct FoundTrace {
    const Trace* trace = nullptr;
    TraceSource source = TraceSource::nothing;
};
[[nodiscard]] FoundTrace find_trace(const HistoryBake& bake, const std::string& name);
/// The booth air, by its role, from the log before the prediction.
[[nodiscard]] const Trace* find_booth_air(const HistoryBake& bake);

}  // namespace bakewright::cure
