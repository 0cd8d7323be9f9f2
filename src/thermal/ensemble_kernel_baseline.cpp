// SPDX-License-Identifier: Apache-2.0
#include "ensemble_lane_kernel.hpp"

namespace bakewright::thermal {

std::unique_ptr<EnsembleKernel> make_baseline_kernel(const EnsembleTask& task) {
    return make_lane_kernel<Lanes<float, 16, isa::Baseline>, Lanes<double, 8, isa::Baseline>>(task);
}

}  // namespace bakewright::thermal
