// SPDX-License-Identifier: Apache-2.0
#include "bakewright/tune/compare.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <functional>
#include <limits>

#include "bakewright/base/error.hpp"

using namespace bakewright;
using tune::ChannelComparison;

namespace {

// All traces here are invented: closed forms sampled at chosen times.
constexpr double kStart_k = 293.15;
constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();

Trace sampled(const std::string& name, double from_s, double to_s, double step_s,
              const std::function<double(double)>& temperature_k) {
    Trace trace{name, TraceRole::zone, {}, {}, {}};
    for (double t = from_s; t <= to_s + 1e-9; t += step_s) {
        trace.time_s.push_back(t);
        trace.temperature_k.push_back(temperature_k(t));
    }
    return trace;
}

/// Rises towards 40 K above the start with a time constant of 600 s from time 0 on.
double heating_k(double t) { return kStart_k + (t > 0.0 ? 40.0 * (1.0 - std::exp(-t / 600.0)) : 0.0); }
double ramp_k(double t) { return kStart_k + 0.02 * t; }

ChannelComparison compared(const Trace& predicted, const Trace& logged) {
    const auto out = tune::compare_channel(predicted, logged);
    REQUIRE(out.has_value());
    return *out;
}

}  // namespace

TEST_CASE("a trace compared with itself differs by nothing and lags by nothing") {
    const Trace roof = sampled("roof", 0.0, 3600.0, 10.0, heating_k);
    const ChannelComparison c = compared(roof, roof);
    CHECK(c.samples == 361);
    CHECK(c.from_s == 0.0);
    CHECK(c.to_s == 3600.0);
    CHECK(c.bias_k == 0.0);
    CHECK(c.rms_k == 0.0);
    CHECK(c.largest_k == 0.0);
    CHECK(c.rms_after_shift_k == 0.0);
    REQUIRE(c.lag_s.has_value());
    CHECK(*c.lag_s == 0.0);
}

TEST_CASE("a constant offset is the bias, the RMS and the largest difference") {
    // Tolerance 1e-10 K: rounding of numbers near 300 over 361 samples.
    const Trace predicted = sampled("roof", 0.0, 3600.0, 10.0, heating_k);
    const Trace logged = sampled("roof", 0.0, 3600.0, 10.0, [](double t) { return heating_k(t) - 3.0; });
    const ChannelComparison c = compared(predicted, logged);
    CHECK(std::abs(c.bias_k - 3.0) <= 1e-10);
    CHECK(std::abs(c.rms_k - 3.0) <= 1e-10);
    CHECK(std::abs(c.largest_k - 3.0) <= 1e-10);
}

TEST_CASE("a delayed log lags by its delay, whichever way it is delayed") {
    // The log is the prediction's closed form shifted. The prediction is sampled every 5 s and read off straight lines, the worst
    // error of which is 40/600^2 * 5^2/8 = 3.5e-4 K; over the rise of up to 0.067 K/s that is 0.005 s a sample; the bend at the
    // start, where a line may be 0.08 K off, adds as much again. Tolerance 0.1 s. Seen: below 0.02 s.
    const Trace predicted = sampled("roof", -1800.0, 5400.0, 5.0, heating_k);
    for (const double delay_s : {-240.0, -37.5, 12.0, 95.0, 600.0}) {
        CAPTURE(delay_s);
        const Trace logged = sampled("roof", 0.0, 3600.0, 10.0, [=](double t) { return heating_k(t - delay_s); });
        const ChannelComparison c = compared(predicted, logged);
        REQUIRE(c.lag_s.has_value());
        CHECK(std::abs(*c.lag_s - delay_s) <= 0.1);
        CHECK(c.rms_after_shift_k <= 0.01);
        CHECK(c.rms_k > 20.0 * c.rms_after_shift_k);
    }
}

TEST_CASE("a lag longer than the range looked at is not given") {
    const Trace predicted = sampled("roof", -1800.0, 3600.0, 5.0, ramp_k);
    const Trace logged = sampled("roof", 0.0, 3600.0, 10.0, [](double t) { return ramp_k(t - 1500.0); });
    const ChannelComparison c = compared(predicted, logged);
    CHECK_FALSE(c.lag_s.has_value());
    CHECK(c.rms_after_shift_k == c.rms_k);
}

TEST_CASE("flat traces have no lag") {
    const Trace predicted = sampled("room", 0.0, 3600.0, 10.0, [](double t) { return kStart_k + 0.1 * std::sin(t / 300.0); });
    const Trace logged =
        sampled("room", 0.0, 3600.0, 10.0, [](double t) { return kStart_k + 0.1 * std::sin((t - 60.0) / 300.0); });
    const ChannelComparison c = compared(predicted, logged);
    CHECK_FALSE(c.lag_s.has_value());
    CHECK(c.rms_after_shift_k == c.rms_k);
}

TEST_CASE("two ramps that part have the mean and the RMS of a triangle") {
    // d(t) = a t over T: mean a T / 2, RMS a T / sqrt(3). Straight lines are integrated exactly, so only rounding is left: 1e-9
    // K.
    const Trace predicted = sampled("sill", 0.0, 1000.0, 100.0, [](double t) { return kStart_k + 0.03 * t; });
    const Trace logged = sampled("sill", 0.0, 1000.0, 100.0, ramp_k);
    const ChannelComparison c = compared(predicted, logged);
    CHECK(std::abs(c.bias_k - 5.0) <= 1e-9);
    CHECK(std::abs(c.rms_k - 10.0 / std::sqrt(3.0)) <= 1e-9);
    CHECK(std::abs(c.largest_k - 10.0) <= 1e-9);
    CHECK(c.largest_at_s == 1000.0);
}

TEST_CASE("samples are weighted by the time they stand for, not counted") {
    // Difference 0 over 900 s at 100 s a sample, then 4 K over 100 s at 1 s a sample; the step between takes 1 s.
    Trace logged{"door", TraceRole::zone, {}, {}, {}};
    for (int t = 0; t <= 900; t += 100) logged.time_s.push_back(t);
    for (int t = 901; t <= 1001; ++t) logged.time_s.push_back(t);
    logged.temperature_k.assign(logged.size(), kStart_k);
    const Trace predicted = sampled("door", 0.0, 1001.0, 1.0, [](double t) { return kStart_k + (t >= 900.5 ? 4.0 : 0.0); });
    const ChannelComparison c = compared(predicted, logged);
    // (0 * 900 + 2 * 1 + 4 * 100) / 1001; rounding only, 1e-9 K.
    CHECK(std::abs(c.bias_k - 402.0 / 1001.0) <= 1e-9);
    CHECK(std::abs(c.rms_k - std::sqrt((16.0 / 3.0 + 1600.0) / 1001.0)) <= 1e-9);
}

TEST_CASE("a gap in the log counts for nothing, a single missing sample is bridged") {
    const Trace predicted = sampled("roof", 0.0, 2000.0, 10.0, [](double) { return kStart_k + 1.0; });
    Trace logged = sampled("roof", 0.0, 2000.0, 10.0, [](double t) { return t < 1000.0 ? kStart_k : kStart_k - 2.0; });
    for (std::size_t i = 50; i < 101; ++i) logged.temperature_k[i] = kNaN;  // 500 s to 1000 s
    logged.temperature_k[20] = kNaN;
    const ChannelComparison c = compared(predicted, logged);
    CHECK(c.samples == 201 - 51 - 1);
    // 490 s at 1 K and 990 s at 3 K; bridging the gap would give another mean. Rounding only, 1e-9 K.
    CHECK(std::abs(c.bias_k - (490.0 * 1.0 + 990.0 * 3.0) / 1480.0) <= 1e-9);
}

TEST_CASE("samples flagged as bad are not compared") {
    const Trace predicted = sampled("roof", 0.0, 600.0, 10.0, ramp_k);
    Trace logged = predicted;
    logged.quality.assign(logged.size(), SampleQuality::good);
    logged.temperature_k[30] += 500.0;
    logged.quality[30] = SampleQuality::spike;
    CHECK(compared(predicted, logged).largest_k == 0.0);
}

TEST_CASE("only the common span of time is compared") {
    const Trace predicted = sampled("roof", 0.0, 1000.0, 10.0, ramp_k);
    const Trace logged = sampled("roof", -500.0, 2000.0, 25.0, ramp_k);
    const ChannelComparison c = compared(predicted, logged);
    CHECK(c.from_s == 0.0);
    CHECK(c.to_s == 1000.0);
    CHECK(c.samples == 41);
}

TEST_CASE("channels without two samples in common time are not compared") {
    const Trace predicted = sampled("roof", 0.0, 1000.0, 10.0, ramp_k);
    CHECK_FALSE(tune::compare_channel(predicted, sampled("roof", 1000.0, 2000.0, 10.0, ramp_k)).has_value());
    CHECK_FALSE(tune::compare_channel(predicted, sampled("roof", 5000.0, 6000.0, 10.0, ramp_k)).has_value());
    CHECK_FALSE(tune::compare_channel(predicted, Trace{"roof", TraceRole::zone, {}, {}, {}}).has_value());
    CHECK_FALSE(tune::compare_channel(Trace{"roof", TraceRole::zone, {}, {}, {}}, predicted).has_value());
    const Trace dead = sampled("roof", 0.0, 1000.0, 10.0, [](double) { return kNaN; });
    CHECK_FALSE(tune::compare_channel(predicted, dead).has_value());
}

TEST_CASE("a bake is compared name by name, the worst channel first, and what has no partner is named") {
    const Trace roof = sampled("roof", 0.0, 1000.0, 10.0, ramp_k);
    const auto shifted = [](std::string name, double by_k) {
        return sampled(name, 0.0, 1000.0, 10.0, [by_k](double t) { return ramp_k(t) + by_k; });
    };
    const TraceSet predicted{{roof, shifted("sill", 0.0), shifted("frame", 0.0), shifted("door", 0.0)}, ""};
    const TraceSet logged{
        {shifted("sill", -5.0), shifted("roof", 1.0), shifted("sensor 7", 0.0), sampled("door", 9e3, 9.1e3, 10.0, ramp_k)}, ""};
    const tune::Comparison c = tune::compare(predicted, logged);
    REQUIRE(c.channels.size() == 2);
    CHECK(c.channels[0].predicted == "sill");
    CHECK(std::abs(c.channels[0].bias_k - 5.0) <= 1e-9);
    CHECK(c.channels[1].predicted == "roof");
    CHECK(c.unmatched_predicted == std::vector<std::string>{"frame", "door"});
    CHECK(c.unmatched_logged == std::vector<std::string>{"sensor 7", "door"});
}

TEST_CASE("the error of reading between samples is that of the straight line: its bound for a parabola, none for a line") {
    // A parabola a t^2 has the second derivative 2 a everywhere: the line between samples h apart errs by a h^2 / 4 in the
    // middle, exactly. Tolerance: rounding of numbers near 300 over squares of the interval, 1e-9 K.
    const double a = 2e-6, h = 60.0;
    const Trace bent = sampled("roof", 0.0, 3600.0, h, [=](double t) { return kStart_k + a * t * t; });
    const Trace logged = sampled("roof", 0.0, 3600.0, h / 2.0, [=](double t) { return kStart_k + a * t * t; });
    const ChannelComparison c = compared(bent, logged);
    CHECK(std::abs(c.interpolation_k - a * h * h / 4.0) <= 1e-9);
    CHECK(std::abs(c.largest_k - c.interpolation_k) <= 1e-9);  // here the log is the truth, and the bound is reached
    CHECK(compared(sampled("roof", 0.0, 3600.0, h, ramp_k), sampled("roof", 0.0, 3600.0, 7.0, ramp_k)).interpolation_k <= 1e-9);
    CHECK(compared(bent, bent).interpolation_k == 0.0);  // read at its own samples
}

TEST_CASE("a difference is inside as long as probe and model together can explain it") {
    // Constant traces: prediction 10 K above the log. Allowed are 2.5 K of the probe and 4 K of the model below: 3.5 K beyond.
    const auto flat = [](const char* name, double by_k) {
        return sampled(name, 0.0, 1000.0, 10.0, [by_k](double) { return kStart_k + by_k; });
    };
    const Trace logged = flat("roof", 0.0);
    tune::ChannelAllowance allowance;
    allowance.probe_k = 2.5;
    allowance.time_s = {0.0};
    allowance.below_k = {4.0};
    allowance.above_k = {1.0};
    const auto beyond = [&](double by_k) {
        const auto found = tune::channel_agreement(flat("roof", by_k), logged, allowance);
        REQUIRE(found.has_value());
        CHECK(found->samples == 101);
        CHECK(found->agrees() == (found->largest_excess_k == 0.0));
        CHECK(found->inside == (found->largest_excess_k == 0.0 ? 101u : 0u));
        return found->largest_excess_k;
    };
    CHECK(std::abs(beyond(10.0) - 3.5) <= 1e-9);
    CHECK(beyond(6.4) == 0.0);
    CHECK(beyond(0.0) == 0.0);
    CHECK(beyond(-3.4) == 0.0);
    CHECK(std::abs(beyond(-5.0) + 1.5) <= 1e-9);  // colder than the log by 5 K, of which 2.5 + 1.0 are allowed
    allowance.below_k = {4.0, 5.0};
    CHECK_THROWS_AS((void)tune::channel_agreement(flat("roof", 0.0), logged, allowance), PromiseError);
}

TEST_CASE("a surface probe's error is allowed for on its unsafe side alone, and the moment of the largest excess is told") {
    // The log reads 3 K more than the face at most: the truth may be that much colder, not hotter.
    const auto flat = [](double by_k) { return sampled("roof", 0.0, 1000.0, 10.0, [by_k](double) { return kStart_k + by_k; }); };
    tune::ChannelAllowance allowance;
    allowance.probe_k = 1.0;
    allowance.unsafe = flat(-3.0);
    const auto colder = tune::channel_agreement(flat(-3.9), flat(0.0), allowance);
    CHECK(colder->agrees());
    CHECK(std::abs(colder->attachment_k - 3.0) <= 1e-9);
    CHECK_FALSE(tune::channel_agreement(flat(1.1), flat(0.0), allowance)->agrees());
    // One bump of 2 K over a twenty-fifth of the time: still agrees, and is told with its moment.
    const Trace bump =
        sampled("roof", 0.0, 1000.0, 10.0, [](double t) { return kStart_k + (t >= 500.0 && t < 540.0 ? 2.0 : 0.0); });
    const auto found = tune::channel_agreement(bump, flat(0.0), allowance);
    CHECK(found->agrees());
    CHECK(found->inside == 97);
    CHECK(std::abs(found->largest_excess_k - 1.0) <= 0.11);  // reading between samples is allowed for at the bump's corners
    CHECK(found->largest_excess_at_s >= 500.0);
    CHECK(found->largest_excess_at_s < 540.0);
}

TEST_CASE("the model's spread is read at its own moments") {
    // Spread from 0 to 10 K along a line; the prediction lies 5 K above the log: inside from the middle on.
    const Trace logged = sampled("roof", 0.0, 1000.0, 10.0, ramp_k);
    const Trace predicted = sampled("roof", 0.0, 1000.0, 10.0, [](double t) { return ramp_k(t) + 5.0; });
    const tune::ChannelAllowance allowance{0.0, {}, {0.0, 1000.0}, {0.0, 10.0}, {0.0, 0.0}};
    const auto found = tune::channel_agreement(predicted, logged, allowance);
    CHECK(found->inside == 51);
    CHECK(std::abs(found->below_k - 5.0) <= 1e-9);
    CHECK(std::abs(found->largest_excess_k - 5.0) <= 1e-9);
    CHECK(found->largest_excess_at_s == 0.0);
}

TEST_CASE("an error of the heating rate and one of the plateau are told apart, stage by stage") {
    // Closed form: the log lags 0.001 K/s more and more through a ramp of 1000 s, then stands 1 K under the prediction, then 2 K
    // over it while cooling. Mean of a straight line from 0 to 1 K: 0.5 K, its root mean square 1 / sqrt(3). Tolerance 1e-9,
    // rounding.
    Trace predicted{"roof", TraceRole::zone, {}, {}, {}}, logged = predicted;
    for (int i = 0; i <= 300; ++i) {
        const double time_s = 10.0 * i;
        const double off_k = time_s <= 1000.0 ? 0.001 * time_s : time_s <= 2000.0 ? 1.0 : -2.0;
        predicted.time_s.push_back(time_s);
        predicted.temperature_k.push_back(300.0 + 0.01 * time_s);
        logged.time_s.push_back(time_s);
        logged.temperature_k.push_back(predicted.temperature_k.back() - off_k);
    }
    using bake::StageKind;
    const std::vector<bake::ResolvedStage> stages{{StageKind::ramp, 0.0, 1000.0, 300.0, 310.0, 0},
                                                  {StageKind::hold, 1000.0, 2000.0, 310.0, 310.0, 1},
                                                  {StageKind::cool, 2010.0, 3000.0, 310.0, 300.0, 2},
                                                  {StageKind::purge, 3000.0, 3010.0, 300.0, 300.0, 3}};
    const auto found = tune::stage_differences({{predicted}, {}}, {{logged}, {}}, stages);
    REQUIRE(found.size() == 3);  // one sample of purge is too few
    CHECK(found[0].kind == StageKind::ramp);
    CHECK(std::abs(found[0].slope_k_per_s - 0.001) <= 1e-9);
    CHECK(std::abs(found[0].bias_k - 0.5) <= 1e-9);
    CHECK(std::abs(found[0].rms_k - 1.0 / std::sqrt(3.0)) <= 1e-9);
    CHECK(std::abs(found[1].bias_k - 1.0) <= 1e-9);
    CHECK(std::abs(found[1].slope_k_per_s) <= 1e-9);
    CHECK(std::abs(found[2].bias_k + 2.0) <= 1e-9);
}
