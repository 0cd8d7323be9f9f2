// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cmath>
#include <cstddef>
#include <string>
#include <utility>

#include "bakewright/base/trace.hpp"

namespace traces {

/// An invented warm-up towards 60 °C, one sample in ten seconds.
inline bakewright::Trace warm_up(std::string name, bakewright::TraceRole role, std::size_t samples = 200,
                                 double time_constant_s = 600.0) {
    bakewright::Trace trace{.name = std::move(name), .role = role, .time_s = {}, .temperature_k = {}, .quality = {}};
    for (std::size_t i = 0; i < samples; ++i) {
        const double time_s = 10.0 * static_cast<double>(i);
        trace.time_s.push_back(time_s);
        trace.temperature_k.push_back(333.15 - 40.0 * std::exp(-time_s / time_constant_s));
    }
    return trace;
}

}  // namespace traces
