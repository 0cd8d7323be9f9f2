// SPDX-License-Identifier: Apache-2.0
#include "ensemble_lane_kernel.hpp"

namespace bakewright::thermal {

std::unique_ptr<EnsembleKernel> make_avx512_kernel(const EnsembleTask& task) {
    return make_lane_kernel<Lanes<float, 32, isa::Avx512>, Lanes<double, 16, isa::Avx512>>(task);
}

}  // namespace bakewright::thermal
