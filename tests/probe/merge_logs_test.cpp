// SPDX-License-Identifier: Apache-2.0
// Two loggers of one bake. All logs are invented: air that follows a ramp and a hold with lag, read by two probes.
#include "bakewright/probe/merge_logs.hpp"

#include <doctest/doctest.h>

#include "log_text.hpp"

using namespace probe_test;
using bakewright::celsius_to_kelvin;
using bakewright::TraceRole;
using bakewright::TraceSet;
using bakewright::probe::merge_logs;
using bakewright::probe::MergedLogs;
using bakewright::probe::MergeOptions;

namespace {

/// Booth air [degC]: a ramp of 2 K/min from 20 to 60 °C, 30 min there, cooling; smoothed as by a lag of 2 min.
double air_c(double time_s) {
    const auto plan = [](double t) {
        if (t < 300.0) return 20.0;
        if (t < 1500.0) return 20.0 + (t - 300.0) / 30.0;
        return t < 3300.0 ? 60.0 : 60.0 - 35.0 * (1.0 - std::exp(-(t - 3300.0) / 900.0));
    };
    double smooth = 0.0;
    for (int i = 0; i < 20; ++i) smooth += plan(time_s - 12.0 * i) / 20.0;
    return smooth;
}

/// A log whose clock shows `late_s` less than the true time and gains `pace` seconds a second.
TraceSet log_of(const std::string& air, double late_s, double interval_s, double offset_k, double pace = 0.0) {
    TraceSet log;
    log.traces.resize(2);
    log.traces[0].name = air;
    log.traces[1].name = "Roof";
    for (double shown = 0.0; shown <= 4800.0; shown += interval_s) {
        const double true_s = shown / (1.0 + pace) + late_s;
        for (Trace& trace : log.traces) trace.time_s.push_back(shown);
        log.traces[0].temperature_k.push_back(celsius_to_kelvin(std::round(10.0 * (air_c(true_s) + offset_k)) / 10.0));
        log.traces[1].temperature_k.push_back(celsius_to_kelvin(20.0));
    }
    return log;
}

std::string problem_of(const TraceSet& first, const TraceSet& second, const MergeOptions& options = {}) {
    try {
        (void)merge_logs(first, second, options);
    } catch (const InputError& error) {
        return error.problems().at(0).text();
    }
    return {};
}

}  // namespace

TEST_CASE("a given shift is added to the second log's times, names that stand twice are told apart") {
    MergeOptions options;
    options.shift_s = 35.0;
    const MergedLogs merged = merge_logs(log_of("Booth air", 0, 10, 0), log_of("Booth air", 35, 10, 0), options);
    REQUIRE(merged.traces.traces.size() == 4);
    CHECK(merged.traces.traces[2].name == "Booth air (2)");
    CHECK(merged.traces.traces[3].name == "Roof (2)");
    CHECK(same(merged.traces.traces[2].time_s[1], 45.0));
    CHECK(merged.alignment.is_given);
    CHECK(merged.renamed.size() == 2);
    merged.traces.ensure_well_formed();
}

TEST_CASE("the shift between two clocks is found from their air, to a second") {
    // Tolerance: 1 s. The numbers are rounded to 0.1 K, which is 3 s of the ramp for one sample and far less for 500 of them.
    for (const double late_s : {-600.0, -35.5, 0.0, 35.0, 423.0}) {
        CAPTURE(late_s);
        const MergedLogs merged = merge_logs(log_of("Booth air", 0, 10, 0), log_of("Oven air", late_s, 7, 1.5));
        CHECK(std::abs(merged.alignment.shift_s - late_s) <= 1.0);
        CHECK(merged.alignment.correlation > 0.99);
        CHECK(merged.alignment.difference_k < 0.2);
        CHECK(merged.alignment.half_width_s < 30.0);
    }
}

TEST_CASE("clocks with dates are compared first, and the shift is what they are wrong by") {
    TraceSet first = log_of("Booth air", 0, 10, 0), second = log_of("Booth air", 300, 10, 0);
    first.started_at = "2026-11-24T20:00:00";
    second.started_at = "2026-11-24T20:04:20";  // 40 s slow
    const MergedLogs merged = merge_logs(first, second);
    CHECK(same(merged.alignment.clock_offset_s, 260.0));
    CHECK(std::abs(merged.alignment.shift_s - 40.0) <= 1.0);
    CHECK(std::abs(merged.traces.traces[2].time_s[0] - 300.0) <= 1.0);
    second.started_at = "2026-11-24T20:04:20Z";  // one with a zone, one without, tell nothing about each other
    CHECK_FALSE(merge_logs(first, second).alignment.clocks_compared);
}

TEST_CASE("a clock that gains is told by how much") {
    // Tolerance: 4 s an hour. The hold tells nothing, so each half is aligned by one slope of 20 min, good to about a second.
    const MergedLogs merged = merge_logs(log_of("Booth air", 0, 5, 0), log_of("Booth air", 0, 5, 0, 20.0 / 3600.0));
    REQUIRE(merged.alignment.drift_s_per_h);
    CHECK(std::abs(*merged.alignment.drift_s_per_h - 20.0) <= 4.0);
    const MergedLogs steady = merge_logs(log_of("Booth air", 0, 5, 0), log_of("Booth air", 20, 5, 0));
    REQUIRE(steady.alignment.drift_s_per_h);
    CHECK(std::abs(*steady.alignment.drift_s_per_h) <= 1.0);
}

TEST_CASE("an alignment that is not to be trusted is refused, and the shift asked for") {
    TraceSet flat = log_of("Booth air", 0, 10, 0);
    for (double& value : flat.traces[0].temperature_k) value = celsius_to_kelvin(60.0);
    CHECK(contains(problem_of(log_of("Booth air", 0, 10, 0), flat), "--shift"));

    TraceSet other = log_of("Booth air", 0, 10, 0);
    for (std::size_t i = 0; i < other.traces[0].size(); ++i)
        other.traces[0].temperature_k[i] = celsius_to_kelvin(45.0 + 20.0 * std::sin(static_cast<double>(i) / 9.0));
    CHECK(contains(problem_of(log_of("Booth air", 0, 10, 0), other), "correlation"));

    TraceSet waves = other;  // shifted by one wave it fits as well as before
    CHECK(contains(problem_of(other, waves), "several shifts"));
}

TEST_CASE("logs without an air channel, or with two, are asked about") {
    TraceSet nameless = log_of("T1", 0, 10, 0);
    CHECK(
        contains(problem_of(log_of("Booth air", 0, 10, 0), nameless), "in the second log no single channel is the booth's air"));
    MergeOptions options;
    options.second_air = "T1";
    CHECK(problem_of(log_of("Booth air", 0, 10, 0), nameless, options).empty());
    options.second_air = "T9";
    CHECK(contains(problem_of(log_of("Booth air", 0, 10, 0), nameless, options), "no channel 'T9'"));
}
