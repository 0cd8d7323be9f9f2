#include "ensemble_lane_kernel.hpp"

namespace bakewright::thermal {

std::unique_ptr<EnsembleKernel> make_avx512_kernel(const EnsembleTask& task) {
    return std::make_unique<LaneKernel<Lanes<float, 32, isa::Avx512>>>(task);
}

}  // namespace bakewright::thermal
