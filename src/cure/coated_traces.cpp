#include "coated_traces.hpp"

namespace bakewright::cure {
namespace {

bool carries_paint(const Trace& trace) { return trace.role == TraceRole::zone || trace.role == TraceRole::test_panel; }

}  // namespace

std::vector<CoatedZone> coated_traces(const TraceSet& traces, const std::vector<std::string>& coated_zones) {
    std::vector<CoatedZone> found;
    for (const std::string& name : coated_zones) {
        const Trace* trace = traces.find(name);
        found.push_back({name, trace != nullptr && carries_paint(*trace) ? trace : nullptr});
    }
    if (!coated_zones.empty()) return found;
    for (const Trace& trace : traces.traces)
        if (carries_paint(trace)) found.push_back({trace.name, &trace});
    return found;
}

}  // namespace bakewright::cure
