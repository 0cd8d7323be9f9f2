#pragma once

#include <string>
#include <vector>

#include "bakewright/base/trace.hpp"

namespace bakewright::cure {

/// A zone to be judged, and its trace; null where there is none under its name.
struct CoatedZone {
    std::string name;
    const Trace* trace = nullptr;
};

/// The named zones, or every zone and test panel of the traces where no name is given.
[[nodiscard]] std::vector<CoatedZone> coated_traces(const TraceSet& traces, const std::vector<std::string>& coated_zones);

}  // namespace bakewright::cure
