#include "ensemble_lane_kernel.hpp"

namespace bakewright::thermal {

std::unique_ptr<EnsembleKernel> make_baseline_kernel(const EnsembleTask& task) {
    return std::make_unique<LaneKernel<Lanes<double, 8, isa::Baseline>>>(task);
}

}  // namespace bakewright::thermal
