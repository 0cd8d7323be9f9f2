#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "bakewright/bake/cycle.hpp"
#include "bakewright/base/trace.hpp"

namespace bakewright::tune {

/// How a predicted and a logged channel differ during the stages of one kind, predicted minus logged.
struct StageDifference {
    std::string channel;
    bake::StageKind kind = bake::StageKind::hold;
    std::size_t samples = 0;
    double bias_k = 0.0;  ///< time-weighted mean: in the hold the plateau's error
    double rms_k = 0.0;
    double slope_k_per_s = 0.0;  ///< of the difference over time, by least squares: in the ramp the error of the heating rate
};

/// By channel of one name in both, then by kind in the order the cycle first has them. Kinds with fewer than three samples of the
/// log are left out. Readings of the prediction and gaps of the log as in compare_channel().
[[nodiscard]] std::vector<StageDifference> stage_differences(const TraceSet& predicted, const TraceSet& logged,
                                                             const std::vector<bake::ResolvedStage>& stages);

}  // namespace bakewright::tune
