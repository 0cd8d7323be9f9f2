// SPDX-License-Identifier: Apache-2.0
#include "bakewright/probe/bath.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "bakewright/base/error.hpp"
#include "bakewright/base/units.hpp"

using namespace bakewright;
using namespace bakewright::probe;

namespace {

/// Four minutes at each of the temperatures, a sample every 5 s, two minutes of changing from one to the next between them.
Trace through(const std::string& name, const std::vector<double>& baths_k, double offset_k) {
    Trace trace{.name = name, .role = TraceRole::unmapped, .time_s = {}, .temperature_k = {}, .quality = {}};
    double time_s = 0.0;
    const auto add = [&](double kelvin) {
        trace.time_s.push_back(time_s);
        trace.temperature_k.push_back(kelvin + offset_k + 0.05 * ((static_cast<int>(time_s / 5.0) % 3) - 1));
        time_s += 5.0;
    };
    for (std::size_t b = 0; b < baths_k.size(); ++b) {
        for (int i = 0; i < 48; ++i) add(baths_k[b]);
        for (int i = 0; i < 24 && b + 1 < baths_k.size(); ++i) add(baths_k[b] + (baths_k[b + 1] - baths_k[b]) * i / 24.0);
    }
    return trace;
}

}  // namespace

TEST_CASE("each probe's correction is what it reads short of the bath, whatever the order of the baths") {
    TraceSet traces;
    traces.traces = {through("one", {295.15, 273.15, 333.15}, 1.2), through("two", {333.15, 295.15, 273.15}, -0.7)};
    const BathCalibration found = read_baths(traces, {ice_bath(), warm_bath(333.15, 0.2)});
    CHECK(found.left_out.empty());
    REQUIRE(found.readings.size() == 4);
    for (const BathReading& reading : found.readings) {
        CAPTURE(reading.channel);
        // The scatter of 0.04 K averages out over 25 samples: 0.01 K.
        CHECK(std::abs(reading.correction_k() - (reading.channel == "one" ? -1.2 : 0.7)) <= 0.02);
        CHECK(reading.scatter_k <= 0.06);
    }
    const ProbeSet set = calibrated({}, found, "2027-03-01");
    CHECK(problems_in(set).empty());
    REQUIRE(set.probes.size() == 2);
    CHECK(set.probes[0].calibration->points.size() == 2);
    CHECK(set.probes[0].calibrated_on == "2027-03-01");
    // Expanded by 2: the warm bath's 0.2 K and the scatter of 0.04 K.
    CHECK(std::abs(*set.probes[0].standard_uncertainty_k(333.15) - std::hypot(0.2, 0.043)) <= 0.005);
    CHECK(std::abs(set.probes[1].calibration->correction_k(300.0) - 0.7) <= 0.02);
}

TEST_CASE("what is steady in no bath, or too far off, is told and not calibrated; what is known of a probe stays") {
    TraceSet traces;
    traces.traces = {through("far", {273.15}, 7.0), through("good", {273.15}, 0.5)};
    Trace rough = through("rough", {273.15}, 0.0);
    for (std::size_t i = 0; i < rough.size(); ++i) rough.temperature_k[i] += i % 2 == 0 ? 1.0 : -1.0;
    traces.traces.push_back(rough);
    const BathCalibration found = read_baths(traces, {ice_bath()});
    CHECK(found.left_out.size() == 2);
    REQUIRE(found.readings.size() == 1);
    ProbeSet before;
    ProbeRecord& known = before.probes.emplace_back();
    known.channel = "good";
    known.id = "LC-07";
    known.type = ThermocoupleType::t;
    known.attachment = Attachment::magnet;
    const ProbeSet set = calibrated(before, found, "2027-03-01");
    REQUIRE(set.probes.size() == 1);
    CHECK(set.probes[0].id == "LC-07");
    CHECK(set.probes[0].attachment == Attachment::magnet);
    CHECK(std::abs(set.probes[0].calibration->points[0].correction_k + 0.5) <= 0.02);
    // A second calibration takes the place of the first, it is not added to it.
    CHECK(calibrated(set, found, "2027-09-01").probes[0].calibration->points.size() == 1);
    CHECK_THROWS_AS(static_cast<void>(read_baths(traces, {})), InputError);
    CHECK_THROWS_AS(static_cast<void>(read_baths(traces, {ice_bath(), warm_bath(280.0, 0.2)})), InputError);
}

TEST_CASE("water boils at the height's temperature") {
    // Published boiling points of water in the standard atmosphere: 100.0 degC at the sea, 95.0 at 1500 m (84.56 kPa; Incropera &
    // DeWitt, 6th ed., table A.6 has 370 K at 90.40 kPa and 365 K at 75.14 kPa), from memory.
    CHECK(std::abs(kelvin_to_celsius(boiling_bath(0.0).temperature_k) - 99.97) <= 0.02);
    CHECK(std::abs(kelvin_to_celsius(boiling_bath(1500.0).temperature_k) - 95.0) <= 0.2);
    CHECK(std::abs(boiling_bath(952.0).temperature_k - 370.0) <= 0.15);  // 90.4 kPa
}
