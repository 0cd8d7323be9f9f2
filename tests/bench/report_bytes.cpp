// SPDX-License-Identifier: Apache-2.0
#include <cmath>
#include <string>

#include "bakewright/base/units.hpp"
#include "bakewright/report/csv.hpp"
#include "bakewright/report/html.hpp"
#include "measure.hpp"

namespace bakewright::bench {
namespace {

/// Invented: 24 places that warm up at paces of their own, 4 h at 1 Hz, with a ripple of a quarter of a kelvin.
TraceSet long_log() {
    TraceSet set;
    for (int channel = 0; channel < 24; ++channel) {
        Trace trace{.name = "channel " + std::to_string(channel + 1),
                    .role = channel == 0 ? TraceRole::booth_air : TraceRole::zone,
                    .time_s = {},
                    .temperature_k = {},
                    .quality = {}};
        for (int second = 0; second <= 4 * 3600; ++second) {
            const double rise_k = (45.0 - channel) * (1.0 - std::exp(-second / (300.0 + 60.0 * channel)));
            trace.time_s.push_back(second);
            trace.temperature_k.push_back(celsius_to_kelvin(20.0 + rise_k + 0.25 * std::sin(0.7 * second + channel)));
        }
        set.traces.push_back(std::move(trace));
    }
    return set;
}

}  // namespace

Record report_bytes() {
    report::ReportInput input;
    input.title = "24 channels, 4 h at 1 Hz";
    input.logged = long_log();
    const auto page = static_cast<double>(report::html_report(input).size());
    const auto table = static_cast<double>(report::traces_csv(*input.logged).size());
    return {"report.bytes", page * 1e-6, "MB", "its samples as CSV", table * 1e-6, "24 channels, 4 h at 1 Hz; wanted under 3 MB"};
}

}  // namespace bakewright::bench
