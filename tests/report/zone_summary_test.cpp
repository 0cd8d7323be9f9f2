// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "bakewright/base/units.hpp"
#include "bakewright/report/tables.hpp"
#include "report/sample_report.hpp"

using namespace bakewright;
using namespace bakewright::report;

TEST_CASE("arrival is 5 K under the highest hold, whatever a ramp passes through") {
    std::vector<bake::ResolvedStage> stages = sample::stages();
    CHECK(std::abs(*arrival_temperature_k(stages) - celsius_to_kelvin(60.0)) <= 1e-9);
    stages[1].end_k += 10.0;
    CHECK(std::abs(*arrival_temperature_k(stages) - celsius_to_kelvin(60.0)) <= 1e-9);
    CHECK_FALSE(arrival_temperature_k({}).has_value());
}

TEST_CASE("a summary tells when an exponential arrives") {
    // Source: first-order rise T = T_end - (T_end - T_0) exp(-t/tau); from 20 to 70 degC with tau 600 s it is at 60 degC after
    // tau ln(50/10) = 965.66 s. Tolerance 0.01 s: straight lines between samples 1 s apart err by less than (1 s)^2 / (8 tau).
    TraceSet traces;
    traces.traces = {sample::rising_trace("roof", TraceRole::zone, 70.0, 600.0, 1.0)};
    const ZoneSummary roof = summarize(traces, celsius_to_kelvin(60.0)).front();
    CHECK(std::abs(*roof.reached_at_s - 600.0 * std::log(5.0)) <= 0.01);
    CHECK(roof.peak_at_s == 5400.0);
    // The first minute is the steepest: 50 K (1 - exp(-0.1)) in 60 s.
    CHECK(std::abs(*roof.steepest_rate_k_per_s - 50.0 * (1.0 - std::exp(-0.1)) / 60.0) <= 1e-9);
}

TEST_CASE("the last to arrive stands first among the zones, one that never arrives before all") {
    TraceSet traces;
    traces.traces = {
        sample::rising_trace("fast", TraceRole::zone, 70.0, 300.0), sample::rising_trace("air", TraceRole::booth_air, 70.0, 60.0),
        sample::rising_trace("never", TraceRole::zone, 50.0, 300.0), sample::rising_trace("slow", TraceRole::zone, 70.0, 900.0)};
    const auto summaries = summarize(traces, celsius_to_kelvin(60.0));
    CHECK(summaries[0].name == "air");
    CHECK(summaries[1].name == "never");
    CHECK_FALSE(summaries[1].reached_at_s.has_value());
    CHECK(summaries[2].name == "slow");
    CHECK(summaries[3].name == "fast");
}

TEST_CASE("a trace without a usable sample has no peak") {
    TraceSet traces;
    traces.traces = {{.name = "dead",
                      .role = TraceRole::zone,
                      .time_s = {0.0, 10.0},
                      .temperature_k = {std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::quiet_NaN()},
                      .quality = {}}};
    const ZoneSummary dead = summarize(traces, 333.15).front();
    CHECK(std::isnan(dead.peak_temperature_k));
    CHECK(std::isnan(dead.end_temperature_k));
    CHECK_FALSE(dead.steepest_rate_k_per_s.has_value());
}
