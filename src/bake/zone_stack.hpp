#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/predict.hpp"
#include "bakewright/bake/shell.hpp"
#include "bakewright/thermal/gap.hpp"

namespace bakewright::bake {

/// What joins two neighbouring nodes of a stack, per area: conduction, and across an air gap radiation.
struct StackJoint {
    double conductance_w_per_m2_k = 0.0;     ///< across a gap: at typical temperatures
    std::optional<thermal::GapModel> gap{};  ///< what fills it, where it is a gap
    double exchange_factor = 0.0;            ///< grey exchange between parallel faces, 0 where there is no gap
};

/// A zone's stack as nodes through its thickness, outer face first. One node where the whole stack is at one temperature.
struct StackNodes {
    std::vector<double> capacity_j_per_m2_k;
    std::vector<StackJoint> between;  ///< one fewer than nodes
    double biot = 0.0;
    std::string reason;
};

/// Chooses the nodes of a zone by the error bound of thermal::split_stack (0.1 K at the faces on the booth's largest ramp), with
/// films and gaps at typical temperatures; air gaps part the stack.
[[nodiscard]] StackNodes split_zone(const Zone& zone, const Booth& booth, const PredictOptions& options);

}  // namespace bakewright::bake
