// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <array>
#include <cmath>
#include <random>
#include <stdexcept>

#include "bakewright/base/units.hpp"
#include "bakewright/cure/confidence.hpp"
#include "bakewright/cure/judge.hpp"
#include "bakewright/cure/required_time.hpp"
#include "measure.hpp"

namespace bakewright::bench {
namespace {

constexpr std::size_t kChannels = 24;
constexpr std::size_t kSamples = 4 * 3600 + 1;

/// A log of 4 h at 1 Hz, invented: up to 55 to 67 degC with 5 to 25 min of lag, an hour and a half held, down again; 0.1 K of
/// noise.
TraceSet long_log() {
    std::mt19937 random(11);
    std::normal_distribution<double> noise(0.0, 0.1);
    TraceSet set;
    for (std::size_t channel = 0; channel < kChannels; ++channel) {
        Trace trace{
            .name = "zone " + std::to_string(channel), .role = TraceRole::zone, .time_s = {}, .temperature_k = {}, .quality = {}};
        const double hold_c = 55.0 + 0.5 * static_cast<double>(channel);
        const double lag_s = 300.0 + 50.0 * static_cast<double>(channel);
        for (std::size_t i = 0; i < kSamples; ++i) {
            const double time_s = static_cast<double>(i);
            const double up = 1.0 - std::exp(-time_s / lag_s);
            const double down = time_s > 7200.0 ? std::exp(-(time_s - 7200.0) / lag_s) : 1.0;
            trace.time_s.push_back(time_s);
            trace.temperature_k.push_back(celsius_to_kelvin(20.0 + (hold_c - 20.0) * up * down + noise(random)));
        }
        set.traces.push_back(std::move(trace));
    }
    return set;
}

cure::Coating clear() {
    cure::Coating coating;
    coating.title = "clear";
    coating.basis = cure::ScheduleBasis::part;
    coating.schedule = {{celsius_to_kelvin(60.0), 1800.0, {}}};
    coating.absolute_maximum_k = celsius_to_kelvin(80.0);
    coating.activation_energy = cure::ActivationEnergy{50e3, 55e3, 60e3};
    return coating;
}

/// The plain way to the dose alone: the rate at every sample, above the last row that row's, the trapezoid between; no crossings,
/// no bound, no stays, no peak.
double trapezoid_dose(const Trace& trace, double energy_j_per_mol) {
    const double b_k = energy_j_per_mol / kGasConstant, reference_k = celsius_to_kelvin(60.0), floor_k = celsius_to_kelvin(45.0);
    const auto rate = [&](double temperature_k) {
        return temperature_k < floor_k ? 0.0 : std::exp(b_k / reference_k - b_k / std::min(temperature_k, reference_k)) / 1800.0;
    };
    double dose = 0.0, before = rate(trace.temperature_k.front());
    for (std::size_t i = 1; i < trace.size(); ++i) {
        const double here = rate(trace.temperature_k[i]);
        dose += 0.5 * (before + here) * (trace.time_s[i] - trace.time_s[i - 1]);
        before = here;
    }
    return dose;
}

}  // namespace

Record judge_24ch_4h() {
    const TraceSet log = long_log();
    const cure::Coating coating = clear();
    cure::BakeVerdict verdict;
    std::array<double, 3> peer{};
    const auto judge = [&] {
        verdict = cure::judge_bake(log, coating, {});
        cure::add_certainty(verdict, log, coating, {1.44, "type K, IEC 2"});
    };
    const auto trapezoid = [&] {
        peer = {};
        for (const Trace& trace : log.traces)
            for (std::size_t e = 0; e < 3; ++e) peer[e] += trapezoid_dose(trace, 50e3 + 5e3 * static_cast<double>(e));
    };
    const std::vector<double> median_s = interleaved_medians_s({judge, trapezoid}, 21);
    double ours = 0.0;
    for (const cure::ZoneVerdict& zone : verdict.zones) ours += zone.dose.at_value;
    // Both may differ by what the trapezoid makes of the floor: a second's worth a crossing.
    if (std::abs(ours - peer[1]) > 2e-3 * peer[1]) throw std::runtime_error("judge.24ch-4h: the peer does another integral");
    return {"judge.24ch-4h",
            median_s[0] * 1e3,
            "ms",
            "trapezoid loop",
            median_s[1] * 1e3,
            "ours: stays, doses of three energies with error bounds, peaks, rates, words and certainty of 24 "
            "x 14401 "
            "samples; the peer: three doses alone"};
}

}  // namespace bakewright::bench
