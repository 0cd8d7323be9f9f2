// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <memory>
#include <vector>

#include "bakewright/base/trace.hpp"
#include "linear_point.hpp"

namespace bakewright::tune {

/// Along what a linear form moves a forecast; moments and places are those of its traces.
struct LinearBasis {
    double from_s = 0.0;                               ///< of the last reading heard
    std::shared_ptr<const LinearPoint> point{};        ///< null: no channel tells anything
    std::vector<std::vector<float>> solved_k{};        ///< courses at the point, then with each of its moved numbers a step
                                                       ///< further: each by place, then moment
    std::vector<std::vector<double>> step_response{};  ///< by place, then moment not before from_s: to air that is 1 K
                                                       ///< warmer from from_s on
    Trace air;                                         ///< the likeliest ahead, on the scale of the log
    double stays_per_s = 0.0;                          ///< AirAhead::stays_per_s()
    std::vector<double> drift_k{};                     ///< of each member: its air less the likeliest one, kAirStepS after from_s
};

}  // namespace bakewright::tune
