// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/dose.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <random>

#include "bakewright/base/error.hpp"
#include "reference/arrhenius.hpp"
#include "traces.hpp"

using namespace bakewright;
using namespace bakewright::cure;
using namespace bakewright::cure::test;
using bakewright::reference::ramp_equivalent_s;

namespace {

RequiredTime clear(double energy_j_per_mol = 55e3, BeyondLastPoint beyond = BeyondLastPoint::go_on, double floor_c = 45.0) {
    return {{{c(60), min(30)}}, energy_j_per_mol, c(floor_c), beyond};
}

RequiredTime two_rows(BeyondLastPoint beyond = BeyondLastPoint::keep_rate) {
    return {{{c(60), min(30)}, {c(80), min(15)}}, 55e3, c(45), beyond};
}

}  // namespace

TEST_CASE("a hold at the schedule's temperature for its time is a dose of one") {
    const Trace hold = trace_of({{0, 60}, {30, 60}});
    for (const double energy : {30e3, 55e3, 75e3}) CHECK(std::abs(dose(hold, clear(energy)).dose - 1.0) <= 1e-12);
}

TEST_CASE("a hold elsewhere is its time over the required time") {
    const RequiredTime required = clear();
    for (const double t : {45.0, 52.0, 59.9, 60.0, 71.0}) {
        CAPTURE(t);
        const DoseReading reading = dose(trace_of({{0, t}, {17, t}, {40, t}}), required);
        CHECK(std::abs(reading.dose - min(40) / required.required_s(c(t))) <= 1e-12);
        CHECK(reading.error_bound <= 1e-12);
    }
}

TEST_CASE("the dose of a linear ramp agrees with the exponential integral within the bound it states") {
    // Source:    the closed form in tests/reference/arrhenius.hpp.
    // Tolerance: the stated bound, plus ten roundings of what both sides lose: the closed form is a difference of two numbers
    // that
    //            agree in all but the share step / T, and an exponential loses as many digits as its exponent E/RT has.
    for (const double energy : {20e3, 30e3, 55e3, 75e3, 150e3})
        for (const double until_c : {45.001, 45.5, 47.0, 60.0, 90.0, 180.0})
            for (const int samples : {1, 2, 7, 400}) {
                CAPTURE(energy);
                CAPTURE(until_c);
                CAPTURE(samples);
                const Trace ramp = split(trace_of({{0, 45}, {30, until_c}}), samples);
                const DoseReading reading = dose(ramp, clear(energy));
                const double exact = ramp_equivalent_s(c(45), c(until_c), min(30), c(60), energy) / min(30);
                const double lost_digits = 10.0 * 2.2e-16 * (c(until_c) / (until_c - 45.0) + energy / kGasConstant / c(45.0));
                CHECK(std::abs(reading.dose - exact) <= reading.error_bound + lost_digits * exact);
                CHECK(reading.error_bound <= 2e-9 * exact);
            }
}

TEST_CASE("a ramp that crosses the floor counts from the crossing on, up and down alike") {
    const double above_s = min(30) * 20.0 / 45.0;  // 45 to 65 degC of a ramp from 20 to 65 degC in 30 min
    const double exact = ramp_equivalent_s(c(45), c(65), above_s, c(60), 55e3) / min(30);
    CHECK(std::abs(dose(trace_of({{0, 20}, {30, 65}}), clear()).dose - exact) <= 1e-9);
    CHECK(std::abs(dose(trace_of({{0, 65}, {30, 20}}), clear()).dose - exact) <= 1e-9);
}

TEST_CASE("a ramp through two rows is the sum of closed forms of its parts, and is flat beyond the last") {
    // Below 60 degC the given energy, 60 to 80 degC the slope of the rows, above 80 degC the last row's rate.
    const Trace ramp = trace_of({{0, 40}, {60, 100}});  // 1 K/min
    const double slope = kGasConstant * std::log(2.0) / (1.0 / c(60) - 1.0 / c(80));
    const double exact = ramp_equivalent_s(c(45), c(60), min(15), c(60), 55e3) / min(30) +
                         ramp_equivalent_s(c(60), c(80), min(20), c(60), slope) / min(30) + 20.0 / 15.0;
    const DoseReading reading = dose(ramp, two_rows());
    CHECK(std::abs(reading.dose - exact) <= 1e-9);
    CHECK(std::abs(reading.beyond_last_point_s - min(20)) <= 1e-9);
    const double beyond = ramp_equivalent_s(c(80), c(100), min(20), c(80), 55e3) / min(15);
    CHECK(std::abs(dose(ramp, two_rows(BeyondLastPoint::go_on)).dose - (exact - 20.0 / 15.0 + beyond)) <= 1e-9);
}

TEST_CASE("a night under the floor earns nothing") { CHECK(dose(trace_of({{0, 20}, {900, 44.9}}), clear()).dose == 0.0); }

TEST_CASE("inserting samples on the lines changes no dose") {
    const Trace coarse = wavy(60.0);
    for (const int extra : {1, 3, 20}) {
        const DoseReading before = dose(coarse, two_rows());
        const DoseReading after = dose(split(coarse, extra), two_rows());
        CHECK(std::abs(before.dose - after.dose) <= before.error_bound + after.error_bound + 1e-12);
        CHECK(std::abs(before.beyond_last_point_s - after.beyond_last_point_s) <= 1e-6);
    }
}

TEST_CASE("doses add up over a cut of the trace") {
    const Trace whole = wavy(10.0);
    Trace first = whole, second = whole;
    first.time_s.resize(301);
    first.temperature_k.resize(301);
    second.time_s.erase(second.time_s.begin(), second.time_s.begin() + 300);
    second.temperature_k.erase(second.temperature_k.begin(), second.temperature_k.begin() + 300);
    CHECK(std::abs(dose(whole, clear()).dose - dose(first, clear()).dose - dose(second, clear()).dose) <= 1e-12);
}

TEST_CASE("a hotter or a longer bake never has a smaller dose") {
    double before = 0.0;
    for (double hold_c = 40.0; hold_c <= 100.0; hold_c += 2.5) {
        const double here = dose(trace_of({{0, 20}, {15, hold_c}, {45, hold_c}, {60, 20}}), two_rows()).dose;
        CHECK(here >= before);
        before = here;
    }
}

TEST_CASE("the moment of a dose is solved within a segment") {
    // Closed form: at 60 degC the dose is time over 30 min, whatever the samples.
    CHECK(std::abs(*dose(trace_of({{0, 60}, {47, 60}}), clear()).reached_s - min(30)) <= 1e-5);
    CHECK(std::abs(*dose(trace_of({{0, 60}, {47, 60}}), clear(), 0.5).reached_s - min(15)) <= 1e-5);
    CHECK(std::abs(*dose(trace_of({{0, 60}, {30, 60}}), clear()).reached_s - min(30)) <= 1e-5);
    CHECK(!dose(trace_of({{0, 60}, {29.9, 60}}), clear()).reached_s);
}

TEST_CASE("cutting a trace at the moment of a dose leaves that dose") {
    const Trace bake = wavy(60.0);
    for (const double target : {0.3, 1.0, 2.0}) {
        CAPTURE(target);
        const double reached_s = *dose(bake, two_rows(), target).reached_s;
        Trace cut;
        for (std::size_t i = 0; i < bake.size() && bake.time_s[i] < reached_s; ++i) {
            cut.time_s.push_back(bake.time_s[i]);
            cut.temperature_k.push_back(bake.temperature_k[i]);
        }
        cut.time_s.push_back(reached_s);
        cut.temperature_k.push_back(temperature_at_k(bake, reached_s));
        CHECK(std::abs(dose(cut, two_rows()).dose - target) <= 1e-8);
    }
}

TEST_CASE("a band of doses is the three doses made one by one") {
    const auto curves = [](BeyondLastPoint beyond) {
        const auto at = [&](double energy) { return RequiredTime({{c(60), min(30)}, {c(70), min(20)}}, energy, c(45), beyond); };
        return std::array{at(30e3), at(55e3), at(75e3)};
    };
    for (const BeyondLastPoint beyond : {BeyondLastPoint::keep_rate, BeyondLastPoint::go_on})
        for (const double step_s : {1.0, 10.0, 600.0}) {
            const Trace trace = wavy(step_s);
            const DoseBandReading band = dose_band(trace, curves(beyond));
            CHECK(std::abs(band.dose.at_low - dose(trace, curves(beyond)[0]).dose) <= 1e-11);
            CHECK(std::abs(band.dose.at_value - dose(trace, curves(beyond)[1]).dose) <= 1e-11);
            CHECK(std::abs(band.dose.at_high - dose(trace, curves(beyond)[2]).dose) <= 1e-11);
            CHECK(std::abs(*band.reached_s - *dose(trace, curves(beyond)[1]).reached_s) <= 1e-5);
            CHECK(std::abs(band.beyond_last_point_s - dose(trace, curves(beyond)[1]).beyond_last_point_s) <= 1e-6);
        }
}

TEST_CASE("equivalent time at the trace's own temperature is its time, and at another the Arrhenius ratio") {
    const Trace hold = trace_of({{0, 70}, {40, 70}});
    CHECK(std::abs(equivalent_time_s(hold, c(70), 55e3, c(45)) - min(40)) <= 1e-9);
    const double ratio = std::exp(55e3 / kGasConstant * (1.0 / c(60) - 1.0 / c(70)));
    CHECK(std::abs(equivalent_time_s(hold, c(60), 55e3, c(45)) - min(40) * ratio) <= 1e-8);
}

TEST_CASE("a degree of probe error near 60 degC is six per cent of equivalent minutes, five degrees a third") {
    // Source: exp(E/R dT / T^2) at E = 55 kJ/mol: 0.5 K 3 %, 1 K 6 %, 2.5 K 16 %, 5 K 34 % (computed, no published source).
    const auto gain = [](double error_k) {
        return equivalent_time_s(trace_of({{0, 60 + error_k}, {30, 60 + error_k}}), c(60), 55e3, c(45)) / min(30) - 1.0;
    };
    CHECK(std::abs(gain(0.5) - 0.03) <= 0.005);
    CHECK(std::abs(gain(1.0) - 0.06) <= 0.005);
    CHECK(std::abs(gain(2.5) - 0.16) <= 0.005);
    CHECK(std::abs(gain(5.0) - 0.34) <= 0.005);
}

TEST_CASE("a dose to be reached must be above zero") {
    CHECK_THROWS_AS((void)dose(trace_of({{0, 60}, {30, 60}}), clear(), 0.0), PromiseError);
}
