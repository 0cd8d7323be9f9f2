// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cmath>
#include <functional>
#include <limits>
#include <string>
#include <utility>
#include <vector>

#include "bakewright/base/trace.hpp"
#include "bakewright/base/units.hpp"
#include "bakewright/cure/coating.hpp"

/// Traces and coatings for the tests of this area. All are invented.
namespace bakewright::cure::test {

inline double c(double temperature_c) { return celsius_to_kelvin(temperature_c); }
inline double min(double time_min) { return minutes_to_seconds(time_min); }

/// A trace through points of (minutes, degrees Celsius); a NaN temperature is a missing sample.
inline Trace trace_of(const std::vector<std::pair<double, double>>& points_min_c, std::string name = "zone",
                      TraceRole role = TraceRole::zone) {
    Trace trace{.name = std::move(name), .role = role, .time_s = {}, .temperature_k = {}, .quality = {}};
    for (const auto& [time_min, temperature_c] : points_min_c) {
        trace.time_s.push_back(min(time_min));
        trace.temperature_k.push_back(c(temperature_c));
    }
    return trace;
}

/// A trace sampled from a function of time; both in SI.
inline Trace sampled(const std::function<double(double)>& temperature_k, double end_s, double step_s, std::string name = "zone",
                     TraceRole role = TraceRole::zone) {
    Trace trace{.name = std::move(name), .role = role, .time_s = {}, .temperature_k = {}, .quality = {}};
    const auto steps = static_cast<int>(std::round(end_s / step_s));
    for (int i = 0; i <= steps; ++i) {
        trace.time_s.push_back(i * step_s);
        trace.temperature_k.push_back(temperature_k(i * step_s));
    }
    return trace;
}

/// The same lines with `extra` samples inserted on each, unevenly.
inline Trace split(const Trace& trace, int extra) {
    Trace fine{.name = trace.name, .role = trace.role, .time_s = {}, .temperature_k = {}, .quality = {}};
    for (std::size_t i = 0; i < trace.size(); ++i) {
        fine.time_s.push_back(trace.time_s[i]);
        fine.temperature_k.push_back(trace.temperature_k[i]);
        if (i + 1 == trace.size()) break;
        for (int k = 1; k <= extra; ++k) {
            const double share = std::pow(static_cast<double>(k) / (extra + 1), 1.5);
            fine.time_s.push_back(trace.time_s[i] + share * (trace.time_s[i + 1] - trace.time_s[i]));
            fine.temperature_k.push_back(trace.temperature_k[i] + share * (trace.temperature_k[i + 1] - trace.temperature_k[i]));
        }
    }
    return fine;
}

/// Up to a hold within 15 min, held, and down again within 15 min.
inline Trace held(double hold_c, double hold_min) {
    return trace_of({{0, 20}, {15, hold_c}, {15 + hold_min, hold_c}, {30 + hold_min, 20}});
}

/// Two hours about 58 degC that swing fast and slow.
inline Trace wavy(double step_s) {
    return sampled([](double t) { return c(58.0) + 14.0 * std::sin(t / 700.0) + 3.0 * std::sin(t / 90.0); }, 7200.0, step_s);
}

/// One row: 30 min at 60 degC part temperature, as many two-component clears ask.
inline Coating one_row_clear() {
    Coating coating;
    coating.id = "clear";
    coating.title = "two-component clear";
    coating.basis = ScheduleBasis::part;
    coating.schedule = {{c(60.0), min(30.0), {}}};
    coating.flash_off_minimum_s = 0.0;  // the sheet says that none is asked for
    return coating;
}

/// Two rows with maxima: 30 to 90 min at 60 degC, 15 to 45 min at 80 degC.
inline Coating two_row_clear() {
    Coating coating = one_row_clear();
    coating.schedule = {{c(60.0), min(30.0), min(90.0)}, {c(80.0), min(15.0), min(45.0)}};
    return coating;
}

/// The same, with an activation energy that its sheet tells.
inline Coating told_clear() {
    Coating coating = one_row_clear();
    coating.activation_energy = ActivationEnergy{55e3, 55e3, 55e3};
    return coating;
}

inline constexpr double kMissing = std::numeric_limits<double>::quiet_NaN();

}  // namespace bakewright::cure::test
