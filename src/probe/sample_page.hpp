// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "bakewright/base/trace.hpp"

namespace bakewright::probe {

/// Some consecutive samples of a trace. All have the same length, but that quality is empty where all are good.
struct SamplePage {
    std::vector<double> time_s, temperature_k;
    std::vector<SampleQuality> quality;
};

}  // namespace bakewright::probe
