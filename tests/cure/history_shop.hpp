// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "bakewright/cure/history.hpp"
#include "traces.hpp"

/// Coats and bakes for the tests of histories. All are invented.
namespace bakewright::cure::test {

/// Each trace from 20 degC in 10 min to its hold, held, and down in 10 min.
inline TraceSet bake_of(const std::vector<std::pair<std::string, double>>& holds_c, double hold_min,
                        TraceRole role = TraceRole::zone) {
    TraceSet set;
    for (const auto& [name, hold_c] : holds_c)
        set.traces.push_back(trace_of({{0, 20}, {10, hold_c}, {10 + hold_min, hold_c}, {20 + hold_min, 20}}, name, role));
    return set;
}

inline Coat coat(std::string name, Coating coating, std::vector<std::string> zones, double applied_at_h) {
    Coat made;
    made.name = std::move(name);
    made.coating = std::move(coating);
    made.zones = std::move(zones);
    made.applied_at_s = 3600.0 * applied_at_h;
    return made;
}

/// @param log  outlives the history
inline HistoryBake logged(std::string name, double began_at_h, const TraceSet& log) {
    HistoryBake made;
    made.name = std::move(name);
    made.began_at_s = 3600.0 * began_at_h;
    made.log = &log;
    return made;
}

}  // namespace bakewright::cure::test
