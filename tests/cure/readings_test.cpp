// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/readings.hpp"

#include <doctest/doctest.h>

#include <random>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/dose.hpp"
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

namespace {

/// An invented bake: up at 2 K/min, a dip in the hold, down again; samples at odd times.
Trace bake_with_dip() { return trace_of({{0, 20}, {7.3, 34.6}, {20, 60}, {25, 70}, {40, 70}, {45, 50}, {52.5, 80}, {90, 20}}); }

/// A random walk with uneven steps, seed fixed.
Trace random_walk(unsigned seed) {
    std::mt19937 generator(seed);
    std::uniform_real_distribution<double> step_k(-3.0, 3.0), step_s(5.0, 90.0);
    Trace trace;
    double time_s = -40.0;
    double temperature_k = c(55.0);
    for (int i = 0; i < 200; ++i) {
        trace.time_s.push_back(time_s += step_s(generator));
        trace.temperature_k.push_back(temperature_k += step_k(generator));
    }
    return trace;
}

}  // namespace

TEST_CASE("stays are measured between solved crossings") {
    // Closed form: 60 degC is passed at 20 min, left at 42.5, passed at 47.5 and left at 65 min.
    const StayReading stay = stay_at_or_above(bake_with_dip(), c(60));
    CHECK(std::abs(*stay.first_up_s - min(20.0)) <= 1e-6);
    CHECK(std::abs(stay.longest_s - min(22.5)) <= 1e-6);
    CHECK(std::abs(stay.longest_from_s - min(20.0)) <= 1e-6);
    CHECK(std::abs(stay.total_s - min(40.0)) <= 1e-6);
}

TEST_CASE("a trace that only touches a temperature is there, but stays no time") {
    const StayReading stay = stay_at_or_above(trace_of({{0, 20}, {10, 60}, {20, 20}}), c(60));
    REQUIRE(stay.first_up_s);
    CHECK(std::abs(*stay.first_up_s - min(10.0)) <= 1e-6);
    CHECK(stay.total_s <= 1e-6);
}

TEST_CASE("a trace that dips to a temperature exactly does not leave it") {
    CHECK(std::abs(stay_at_or_above(trace_of({{0, 70}, {10, 60}, {20, 70}}), c(60)).longest_s - min(20.0)) <= 1e-9);
}

TEST_CASE("a hold at 140 degF is at 60 degC in spite of rounding") {
    const double hold_k = fahrenheit_to_kelvin(140.0);
    for (const double rounding_k : {-1e-10, 0.0, 1e-10}) {
        const Trace hold = sampled([&](double) { return hold_k + rounding_k; }, 1800.0, 10.0);
        CHECK(stay_at_or_above(hold, c(60)).longest_s == 1800.0);
    }
}

TEST_CASE("time above falls with the temperature asked, and the longest stay is never more than the total") {
    for (unsigned seed = 1; seed <= 20; ++seed) {
        CAPTURE(seed);
        const Trace walk = random_walk(seed);
        double before_s = std::numeric_limits<double>::infinity();
        for (double level_c = 20.0; level_c <= 90.0; level_c += 1.0) {
            const StayReading stay = stay_at_or_above(walk, c(level_c));
            CHECK(stay.total_s <= before_s + 1e-9);
            CHECK(stay.longest_s <= stay.total_s + 1e-9);
            before_s = stay.total_s;
        }
    }
}

TEST_CASE("samples inserted on the lines change no reading") {
    for (unsigned seed = 1; seed <= 10; ++seed) {
        CAPTURE(seed);
        const Trace walk = random_walk(seed);
        const Trace fine = split(walk, 7);
        const StayReading coarse_stay = stay_at_or_above(walk, c(56));
        const StayReading fine_stay = stay_at_or_above(fine, c(56));
        // Tolerance: an inserted sample rounds by 1e-13 K, which moves a crossing of a flat line (1e-3 K/s) by 1e-10 s.
        CHECK(std::abs(coarse_stay.total_s - fine_stay.total_s) <= 1e-6);
        CHECK(std::abs(coarse_stay.longest_s - fine_stay.longest_s) <= 1e-6);
        CHECK(peak(walk)->temperature_k == peak(fine)->temperature_k);
        CHECK(std::abs(steepest_rise(walk, 60.0)->rate_k_per_s - steepest_rise(fine, 60.0)->rate_k_per_s) <= 1e-12);
    }
}

TEST_CASE("a trace mirrored in time has the same total and longest stay, and its steepest rise becomes its steepest fall") {
    const Trace walk = random_walk(3);
    Trace mirrored;
    for (std::size_t i = walk.size(); i-- > 0;) {
        mirrored.time_s.push_back(-walk.time_s[i]);
        mirrored.temperature_k.push_back(walk.temperature_k[i]);
    }
    CHECK(std::abs(stay_at_or_above(walk, c(56)).total_s - stay_at_or_above(mirrored, c(56)).total_s) <= 1e-6);
    CHECK(std::abs(steepest_rise(walk, 60.0)->rate_k_per_s - steepest_fall(mirrored, 60.0)->rate_k_per_s) <= 1e-12);
}

TEST_CASE("the peak is the first of the hottest samples") {
    const PeakReading hottest = *peak(trace_of({{0, 20}, {10, 70}, {12, 65}, {14, 70}}));
    CHECK(hottest.temperature_k == c(70));
    CHECK(hottest.at_s == min(10.0));
}

TEST_CASE("the steepest minute is found between samples") {
    // Closed form: up by 6 K in the half minute from 10 min, level before and after. Any minute around it rises by 6 K.
    const RiseReading rise = *steepest_rise(trace_of({{0, 20}, {10, 20}, {10.5, 26}, {30, 26}}), 60.0);
    CHECK(std::abs(rise.rate_k_per_s - 0.1) <= 1e-12);
    // Two such steps 45 s apart: a minute that holds all of the first holds half of the second.
    const RiseReading both = *steepest_rise(trace_of({{0, 20}, {10, 20}, {10.5, 26}, {10.75, 26}, {11.25, 32}, {30, 32}}), 60.0);
    CHECK(std::abs(both.rate_k_per_s - 9.0 / 60.0) <= 1e-12);
}

TEST_CASE("the steepest minute agrees with trying every tenth of a second") {
    for (unsigned seed = 1; seed <= 5; ++seed) {
        CAPTURE(seed);
        const Trace walk = random_walk(seed);
        double best = -1.0;
        for (double from_s = walk.time_s.front(); from_s + 60.0 <= walk.time_s.back(); from_s += 0.1)
            best = std::max(best, (temperature_at_k(walk, from_s + 60.0) - temperature_at_k(walk, from_s)) / 60.0);
        const double found = steepest_rise(walk, 60.0)->rate_k_per_s;
        // Tolerance: the steepest line is 0.6 K/s; two ends, each off by at most 0.1 s, over 60 s.
        CHECK(found >= best - 1e-12);
        CHECK(found <= best + 2e-3);
    }
}

TEST_CASE("only spans that end in time count") {
    const Trace late_jump = trace_of({{0, 20}, {20, 40}, {21, 60}});
    CHECK(std::abs(steepest_rise(late_jump, 60.0)->rate_k_per_s - 20.0 / 60.0) <= 1e-12);
    CHECK(std::abs(steepest_rise(late_jump, 60.0, min(20.0))->rate_k_per_s - 1.0 / 60.0) <= 1e-12);
    CHECK(std::abs(steepest_rise(late_jump, 60.0, min(20.5))->rate_k_per_s - 10.5 / 60.0) <= 1e-12);
    CHECK(!steepest_rise(late_jump, 60.0, 59.0));
    CHECK(!steepest_rise(late_jump, min(22.0)));
}

TEST_CASE("a span does not reach across an open gap") {
    const Trace gapped = trace_of({{0, 20}, {10, 20}, {11, kMissing}, {13, 80}, {20, 80}});
    CHECK(steepest_rise(gapped, 60.0)->rate_k_per_s == 0.0);
}

TEST_CASE("a trace that only cools has a negative steepest rise, and a span of zero breaks a promise") {
    CHECK(steepest_rise(trace_of({{0, 70}, {10, 60}}), 60.0)->rate_k_per_s < 0.0);
    CHECK_THROWS_AS((void)steepest_rise(trace_of({{0, 70}, {10, 60}}), 0.0), PromiseError);
}

TEST_CASE("the heat comes on where the booth air leaves its level") {
    const auto air_k = [](double time_s) { return c(23.0) + std::max(0.0, time_s - 620.0) * 2.0 / 60.0; };
    CHECK(std::abs(*heat_on_s(sampled(air_k, 2000.0, 10.0)) - 620.0) <= 1e-6);
    CHECK(std::abs(*heat_on_s(trace_of({{0, 23}, {10, 23}, {25, 65}, {60, 65}})) - min(10.0)) <= 1e-6);
    // Tolerance: a sample in the middle of a 30 s step hides the corner by less than the step.
    CHECK(std::abs(*heat_on_s(sampled(air_k, 2000.0, 30.0)) - 620.0) <= 30.0);
}

TEST_CASE("noise, a slow drift and a door left open are no heat") {
    std::mt19937 generator(7);
    std::normal_distribution<double> noise_k(0.0, 0.1);
    const Trace noisy =
        sampled([&](double t) { return c(23.0) + std::max(0.0, t - 900.0) / 60.0 + noise_k(generator); }, 3000.0, 10.0);
    CHECK(std::abs(*heat_on_s(noisy) - 900.0) <= 60.0);
    CHECK(!heat_on_s(sampled([](double t) { return c(18.0) + t / 600.0; }, 7200.0, 10.0)));
    CHECK(!heat_on_s(trace_of({{0, 23}, {10, 23}, {12, 26}, {20, 23}, {60, 23}})));
    CHECK(!heat_on_s(trace_of({{0, 60}, {60, 60}, {90, 30}})));
}

TEST_CASE("air that rises from the first sample is heated from the first sample") {
    CHECK(*heat_on_s(trace_of({{0, 20}, {15, 65}})) == 0.0);
}
