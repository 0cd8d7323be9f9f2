// SPDX-License-Identifier: Apache-2.0
#include "bakewright/probe/channel_fault.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "bakewright/base/units.hpp"
#include "bakewright/probe/map_channels.hpp"
#include "bakewright/probe/read_log.hpp"
#include "log_text.hpp"

using namespace bakewright;
using namespace bakewright::probe;

namespace {

/// Six zones and an item behind them in air that rises by 40 K in half an hour, holds and falls: first-order lags of 5 to 40 min,
/// offsets of up to a kelvin, noise of 0.1 K from a fixed series; invented.
TraceSet healthy() {
    TraceSet traces;
    const auto air_k = [](double time_s) {
        const double up = std::clamp((time_s - 600.0) / 1800.0, 0.0, 1.0),
                     down = std::clamp((time_s - 6000.0) / 1200.0, 0.0, 1.0);
        return 293.15 + 40.0 * (up - 0.8 * down);
    };
    const auto add = [&](const std::string& name, TraceRole role, double lag_s, double offset_k) {
        Trace trace{.name = name, .role = role, .time_s = {}, .temperature_k = {}, .quality = {}};
        double body_k = 293.15, noise = 0.37 + offset_k;
        for (double time_s = 0.0; time_s <= 8400.0; time_s += 30.0) {
            body_k += lag_s > 0.0 ? (air_k(time_s) - body_k) * (1.0 - std::exp(-30.0 / lag_s)) : air_k(time_s) - body_k;
            noise = std::fmod(noise * 997.0 + 0.123, 1.0);
            trace.time_s.push_back(time_s);
            trace.temperature_k.push_back(body_k + offset_k + 0.3 * (noise - 0.5));
        }
        traces.traces.push_back(std::move(trace));
    };
    add("booth air", TraceRole::booth_air, 0.0, 0.2);
    for (int i = 0; i < 6; ++i) add("zone " + std::to_string(i), TraceRole::zone, 300.0 + 420.0 * i, 0.3 * (i - 3));
    add("seat", TraceRole::item, 9000.0, 0.5);
    return traces;
}

/// The only fault found once channel "zone 2" reads something else.
std::vector<ChannelFault> found_with(const std::function<double(double time_s, double temperature_k, std::size_t i)>& read) {
    TraceSet traces = healthy();
    Trace& trace = traces.traces[3];
    for (std::size_t i = 0; i < trace.size(); ++i) trace.temperature_k[i] = read(trace.time_s[i], trace.temperature_k[i], i);
    return channel_faults(traces);
}

void check_only(const std::vector<ChannelFault>& found, FaultKind kind) {
    CAPTURE(word_of(kind));
    REQUIRE(found.size() == 1);
    CHECK(found.front().channel == "zone 2");
    CHECK(found.front().kind == kind);
}

}  // namespace

TEST_CASE("healthy channels get no word, nor does a log in which nothing heats up") {
    CHECK(channel_faults(healthy()).empty());
    TraceSet cold = healthy();
    for (Trace& trace : cold.traces)
        for (double& kelvin : trace.temperature_k) kelvin = 293.15 + 0.2 * (kelvin - 293.15);
    cold.traces[2].temperature_k.assign(cold.traces[2].size(), 293.0);
    CHECK(channel_faults(cold).empty());
}

TEST_CASE("each fault is found as what it is, on the channel that has it") {
    check_only(found_with([](double, double, std::size_t i) { return 294.0 + 0.05 * static_cast<double>(i % 2); }),
               FaultKind::dead);
    // Wires the wrong way round: as far under the reference junction as the place is above it.
    check_only(found_with([](double, double kelvin, std::size_t) { return 2.0 * 294.15 - kelvin; }), FaultKind::reversed);
    // The logger's number is in degF and is taken for degC.
    check_only(found_with([](double, double kelvin, std::size_t) { return celsius_to_kelvin(kelvin_to_fahrenheit(kelvin)); }),
               FaultKind::wrong_unit);
    check_only(found_with([](double, double kelvin, std::size_t) { return fahrenheit_to_kelvin(kelvin_to_celsius(kelvin)); }),
               FaultKind::wrong_unit);
    // Type E wire (60.9 uV/K near 25 degC) at an input set to type K (40.6 uV/K): ITS-90 tables, from memory.
    check_only(found_with([](double, double kelvin, std::size_t) { return 293.15 + 1.5 * (kelvin - 293.15); }),
               FaultKind::wrong_type);
    check_only(found_with([](double, double kelvin, std::size_t i) {
                   return kelvin + (i % 3 == 0 ? 3.0 : i % 3 == 1 ? -2.0 : 0.5);
               }),
               FaultKind::noisy);
    TraceSet traces = healthy();
    Trace& stuck = traces.traces[3];
    stuck.quality.assign(stuck.size(), SampleQuality::good);
    for (std::size_t i = 100; i < stuck.size(); ++i) stuck.quality[i] = SampleQuality::stuck;
    const std::vector<ChannelFault> frozen = channel_faults(traces);
    check_only(frozen, FaultKind::frozen);
    CHECK(frozen.front().from_s == 3000.0);
}

TEST_CASE("a jump is none of these, however far it goes: it shows against a model") {
    CHECK(found_with([](double time_s, double kelvin, std::size_t) { return kelvin + (time_s >= 4000.0 ? 25.0 : 0.0); }).empty());
}

TEST_CASE("a place hotter than the air is no fault where infrared heaters shine, nor is one that started colder") {
    TraceSet traces = healthy();
    for (double& kelvin : traces.traces[3].temperature_k) kelvin = 293.15 + 1.5 * (kelvin - 293.15);
    CHECK(channel_faults(traces).size() == 1);
    CHECK(channel_faults(traces, true).empty());
    TraceSet cold = healthy();
    for (double& kelvin : cold.traces[3].temperature_k) kelvin = 285.0 + (kelvin - 293.15) * 48.0 / 40.0;
    CHECK(channel_faults(cold).empty());
}

TEST_CASE("no real log alarms, whatever its channels are") {
    // Every channel is taken for a zone, which is harder than any mapping; of the demo and the oven the air is known by its name.
    std::size_t looked_at = 0;
    for (const char* file :
         {"demo/clear_group_1.csv", "nist-oven-rods/Oven_Test_001_avg.csv", "nist-oven-rods/Oven_Test_002_avg_cut.csv",
          "leshy-sd-log/example-log.csv", "pi-thermometers-5ch/Boiling_Water_250131.csv", "pi-thermometers-5ch/Cups_of_Tea.csv",
          "pi-thermometers-5ch/Test.csv", "steel-plate-heatflux/DATA.csv"}) {
        CAPTURE(file);
        ReadOptions options;
        options.temperature_unit = TemperatureUnit::celsius;  // of the loggers that write none
        TraceSet traces = read_log(probe_test::file_text(std::string(BAKEWRIGHT_TEST_DATA) + "/" + file), file, options).traces;
        static_cast<void>(map_channels(traces, {}, {}));
        for (Trace& trace : traces.traces)
            if (trace.role == TraceRole::unmapped) trace.role = TraceRole::zone;
        for (const ChannelFault& fault : channel_faults(traces)) {
            CAPTURE(fault.channel);
            CAPTURE(word_of(fault.kind));
            CAPTURE(fault.amount);
            CHECK(false);
        }
        looked_at += traces.traces.size();
    }
    CHECK(looked_at > 30);
}
