// SPDX-License-Identifier: Apache-2.0
#include "bakewright/base/trace.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "bakewright/base/error.hpp"

using namespace bakewright;

namespace {

constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();

// Invented numbers.
Trace roof() {
    return {.name = "roof",
            .role = TraceRole::zone,
            .time_s = {-10, 0, 60, 120},
            .temperature_k = {293, 293, 303, 333},
            .quality = {}};
}

}  // namespace

TEST_CASE("between samples a trace is a straight line") {
    const Trace trace = roof();
    CHECK(temperature_at_k(trace, 0) == 293);
    CHECK(std::abs(temperature_at_k(trace, 30) - 298) <= 1e-12);
    CHECK(std::abs(temperature_at_k(trace, 105) - 325.5) <= 1e-12);
    CHECK(temperature_at_k(trace, -10) == 293);
    CHECK(temperature_at_k(trace, 120) == 333);
}

TEST_CASE("outside of its samples a trace has no temperature") {
    CHECK(std::isnan(temperature_at_k(roof(), -10.001)));
    CHECK(std::isnan(temperature_at_k(roof(), 120.001)));
    CHECK(std::isnan(temperature_at_k(roof(), kUnknown)));
    CHECK(std::isnan(temperature_at_k(Trace{}, 0)));
}

TEST_CASE("no temperature is made up beside a missing sample") {
    Trace trace = roof();
    trace.temperature_k[2] = kUnknown;
    CHECK(std::isnan(temperature_at_k(trace, 30)));
    CHECK(std::isnan(temperature_at_k(trace, 60)));
    CHECK(std::isnan(temperature_at_k(trace, 90)));
    CHECK(temperature_at_k(trace, 0) == 293);
    CHECK(temperature_at_k(trace, 120) == 333);
}

TEST_CASE("a flagged sample is kept but not used") {
    Trace trace = roof();
    trace.quality = {SampleQuality::good, SampleQuality::good, SampleQuality::spike, SampleQuality::good};
    CHECK(trace.usable(1));
    CHECK_FALSE(trace.usable(2));
    CHECK_FALSE(trace.usable(4));
    CHECK(std::isnan(temperature_at_k(trace, 61)));

    const Trace kept = trace.usable_samples();
    CHECK(kept.name == "roof");
    CHECK(kept.role == TraceRole::zone);
    CHECK(kept.time_s == std::vector<double>{-10, 0, 120});
    CHECK(kept.temperature_k == std::vector<double>{293, 293, 333});
    CHECK(kept.quality.empty());
    CHECK(std::abs(temperature_at_k(kept, 60) - 313) <= 1e-12);
}

TEST_CASE("a trace of broken shape is found out") {
    CHECK_NOTHROW(roof().ensure_well_formed());
    CHECK_NOTHROW(Trace{}.ensure_well_formed());

    Trace shorter = roof();
    shorter.temperature_k.pop_back();
    CHECK_THROWS_AS(shorter.ensure_well_formed(), PromiseError);

    Trace half_flagged = roof();
    half_flagged.quality = {SampleQuality::good};
    CHECK_THROWS_AS(half_flagged.ensure_well_formed(), PromiseError);

    Trace standing = roof();
    standing.time_s[2] = standing.time_s[1];
    CHECK_THROWS_AS(standing.ensure_well_formed(), PromiseError);

    Trace unknown_time = roof();
    unknown_time.time_s[3] = kUnknown;
    CHECK_THROWS_AS(unknown_time.ensure_well_formed(), PromiseError);
}

TEST_CASE("a set finds its traces by name and role") {
    Trace air = roof();
    air.name = "air";
    air.role = TraceRole::booth_air;
    air.time_s.back() = 200;
    const TraceSet set{.traces = {roof(), air}, .started_at = {}};
    REQUIRE(set.find("air") != nullptr);
    CHECK(set.find("air")->role == TraceRole::booth_air);
    CHECK(set.find("sill") == nullptr);
    CHECK(set.first(TraceRole::zone)->name == "roof");
    CHECK(set.first(TraceRole::item) == nullptr);
    CHECK(set.end_s() == 200);
    CHECK(TraceSet{}.end_s() == 0);
}

TEST_CASE("a set that ends before its time 0 says so") {
    Trace early = roof();
    early.time_s = {-40, -30, -20, -10};
    CHECK(TraceSet{.traces = {early, Trace{}}, .started_at = {}}.end_s() == -10);
}

TEST_CASE("two traces of one name are found out") {
    CHECK_THROWS_AS((TraceSet{.traces = {roof(), roof()}, .started_at = {}}.ensure_well_formed()), PromiseError);
}

TEST_CASE("a role is found again by its name") {
    for (const TraceRole role : {TraceRole::booth_air, TraceRole::booth_wall, TraceRole::zone, TraceRole::cavity_air,
                                 TraceRole::item, TraceRole::test_panel, TraceRole::unmapped}) {
        CHECK(trace_role_from_name(trace_role_name(role)) == role);
    }
    CHECK(trace_role_name(TraceRole::booth_air) == "booth_air");
    CHECK(trace_role_name(TraceRole::unmapped) == "unmapped");
    CHECK_FALSE(trace_role_from_name("oven"));
}

TEST_CASE("each sample quality has its own name") {
    CHECK(sample_quality_name(SampleQuality::good) == "good");
    CHECK(sample_quality_name(SampleQuality::open_circuit) == "open_circuit");
    CHECK(sample_quality_name(SampleQuality::clipped) == "clipped");
}
