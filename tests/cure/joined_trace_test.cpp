#include "bakewright/cure/joined_trace.hpp"

#include <doctest/doctest.h>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/dose.hpp"
#include "bakewright/cure/readings.hpp"
#include "traces.hpp"

using namespace bakewright;
using namespace bakewright::cure;
using namespace bakewright::cure::test;

TEST_CASE("a gap of two minutes is bridged by a straight line") {
    const Trace gapped = trace_of({{0, 50}, {9, 68}, {10, kMissing}, {11, 72}, {20, 90}});
    const Trace whole = trace_of({{0, 50}, {20, 90}});
    const JoinedTrace joined(gapped);
    CHECK(joined.gaps() == Gaps{.bridged_s = 120.0});
    CHECK(joined.runs().size() == 1);
    CHECK(std::abs(stay_at_or_above(gapped, c(60)).longest_s - stay_at_or_above(whole, c(60)).longest_s) <= 1e-6);
}

TEST_CASE("a longer gap counts as nothing and ends a stay") {
    const Trace gapped = trace_of({{0, 70}, {10, 70}, {11, kMissing}, {12.1, 70}, {30, 70}});
    const JoinedTrace joined(gapped);
    CHECK(std::abs(joined.gaps().open_s - 126.0) <= 1e-9);
    CHECK(joined.gaps().bridged_s == 0.0);
    const StayReading stay = stay_at_or_above(gapped, c(60));
    CHECK(std::abs(stay.longest_s - min(17.9)) <= 1e-9);
    CHECK(std::abs(stay.total_s - min(27.9)) <= 1e-9);
}

TEST_CASE("the bound of a bridged gap can be given") {
    const Trace gapped = trace_of({{0, 70}, {10, 70}, {11, kMissing}, {15, 70}, {30, 70}});
    const JoinedTrace patient(gapped, min(5.0));
    CHECK(patient.gaps().bridged_s == min(5.0));
    CHECK(std::abs(stay_at_or_above(patient, c(60)).longest_s - min(30.0)) <= 1e-9);
}

TEST_CASE("a flagged sample is a gap whatever number it holds") {
    Trace spiked = trace_of({{0, 50}, {1, 50}, {2, 500}, {3, 50}});
    spiked.quality = {SampleQuality::good, SampleQuality::good, SampleQuality::spike, SampleQuality::good};
    CHECK(peak(spiked)->temperature_k == c(50));
    CHECK(JoinedTrace(spiked).gaps().bridged_s == 120.0);
}

TEST_CASE("samples lost at both ends are told and count as nothing") {
    const Trace cut = trace_of({{0, kMissing}, {5, 70}, {15, 70}, {16, kMissing}, {40, kMissing}});
    const JoinedTrace joined(cut);
    CHECK(joined.gaps().lost_before_s == min(5.0));
    CHECK(joined.gaps().lost_after_s == min(25.0));
    CHECK(joined.gaps().open_s == 0.0);
    CHECK(stay_at_or_above(cut, c(60)).total_s == min(10.0));
}

TEST_CASE("samples far apart are no gap: between samples a trace is a straight line") {
    CHECK(stay_at_or_above(trace_of({{0, 70}, {60, 70}}), c(60)).longest_s == min(60.0));
}

TEST_CASE("an empty trace, one sample and a trace that is all gap have no readings") {
    const RequiredTime clear({{c(60), min(30)}}, 55e3, c(45), BeyondLastPoint::keep_rate);
    for (const Trace& trace : {Trace{}, trace_of({{0, 70}}), trace_of({{0, kMissing}, {30, kMissing}})}) {
        CHECK(stay_at_or_above(trace, c(60)).total_s == 0.0);
        CHECK(dose(trace, clear).dose == 0.0);
        CHECK(!steepest_rise(trace, 60.0));
        CHECK(!heat_on_s(trace));
    }
    CHECK(!peak(Trace{}));
    CHECK(!peak(trace_of({{0, kMissing}})));
    CHECK(peak(trace_of({{0, 70}}))->temperature_k == c(70));
}

TEST_CASE("a trace whose time runs backwards breaks a promise and is not read") {
    CHECK_THROWS_AS(JoinedTrace(trace_of({{0, 20}, {2, 30}, {1, 40}})), PromiseError);
}

TEST_CASE("an open gap filled as hot as its edges allow meets the two lines") {
    // Case: 50 degC, 20 min of nothing, 60 degC; up by 2 K/min, down by 1 K/min: they meet 10 min in, at 70 degC.
    const Trace gapped = trace_of({{0, 50}, {10, kMissing}, {20, 60}, {30, 60}});
    const Trace filled = with_hottest_gaps(gapped, 2.0 / 60.0, 1.0 / 60.0);
    REQUIRE(filled.size() == 4);
    CHECK(std::abs(filled.time_s[1] - min(10.0)) <= 1e-9);
    CHECK(std::abs(filled.temperature_k[1] - c(70.0)) <= 1e-9);
}

TEST_CASE("a filled gap whose edges cannot be reached at the given rates stays a straight line") {
    const Trace gapped = trace_of({{0, 20}, {10, kMissing}, {20, 80}});
    const Trace filled = with_hottest_gaps(gapped, 1.0 / 60.0, 1.0 / 60.0);
    CHECK(filled.size() == 2);
    CHECK(peak(filled)->temperature_k == c(80));
}
