// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/condense.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <random>

#include "bakewright/cure/judge_zone.hpp"
#include "bakewright/cure/readings.hpp"

using namespace bakewright;
using namespace bakewright::cure;

namespace {

/// A warm-up to about 62 °C with a plateau and a cool-down, noisy, at ten samples a second: an hour and a half.
Trace dense_trace(double noise_k, unsigned seed = 1) {
    std::mt19937 random(seed);
    std::normal_distribution<double> noise(0.0, noise_k);
    Trace trace{"roof", TraceRole::zone, {}, {}, {}};
    for (int i = 0; i <= 54000; ++i) {
        const double time_s = 0.1 * i;
        const double warm_k = 42.0 * (1.0 - std::exp(-time_s / 600.0));
        const double cool = time_s > 4200.0 ? std::exp(-(time_s - 4200.0) / 500.0) : 1.0;
        trace.time_s.push_back(time_s);
        trace.temperature_k.push_back(293.15 + warm_k * cool + (noise_k > 0.0 ? noise(random) : 0.0));
    }
    trace.quality.assign(trace.size(), SampleQuality::good);
    return trace;
}

TraceCondenser::Condensed both_of(const Trace& trace, std::size_t spans, std::size_t part_size = 777) {
    TraceCondenser condenser(trace.name, trace.role, trace.time_s.front(), trace.time_s.back(), spans);
    for (std::size_t begin = 0; begin < trace.size(); begin += part_size) {
        const std::size_t end = std::min(begin + part_size, trace.size());
        const auto cut = [&](const auto& values) {
            return std::decay_t<decltype(values)>(values.begin() + static_cast<std::ptrdiff_t>(begin),
                                                  values.begin() + static_cast<std::ptrdiff_t>(end));
        };
        condenser.add({trace.name, trace.role, cut(trace.time_s), cut(trace.temperature_k), cut(trace.quality)});
    }
    return condenser.take();
}

Trace condensed(const Trace& trace, std::size_t spans) { return both_of(trace, spans).extremes; }

void lose(Trace& trace, double from_s, double until_s) {
    for (std::size_t i = 0; i < trace.size(); ++i)
        if (trace.time_s[i] >= from_s && trace.time_s[i] < until_s) {
            trace.quality[i] = SampleQuality::missing;
            trace.temperature_k[i] = std::numeric_limits<double>::quiet_NaN();
        }
}

Coating sheet_of_clear() {
    Coating coating;
    coating.id = coating.title = "clear";
    coating.basis = ScheduleBasis::part;
    coating.schedule = {{celsius_to_kelvin(50.0), 3600.0, {}}, {celsius_to_kelvin(60.0), 1800.0, {}}};
    coating.absolute_maximum_k = celsius_to_kelvin(80.0);
    return coating;
}

}  // namespace

TEST_CASE("a condensed trace has the peak, the stays and the verdict of the whole one") {
    for (const double noise_k : {0.0, 0.02, 0.3}) {
        CAPTURE(noise_k);
        const Trace whole = dense_trace(noise_k);
        const Trace fewer = condensed(whole, 1000);  // spans of 5.4 s
        fewer.ensure_well_formed();
        CHECK(fewer.size() <= 4004);
        CHECK(fewer.size() >= 1000);
        CHECK(peak(fewer)->temperature_k == peak(whole)->temperature_k);
        CHECK(peak(fewer)->at_s == peak(whole)->at_s);
        CHECK(fewer.time_s.front() == whole.time_s.front());
        CHECK(fewer.time_s.back() == whole.time_s.back());
        const ZoneVerdict one = judge_zone(whole, sheet_of_clear()), other = judge_zone(fewer, sheet_of_clear());
        CHECK(one.word == other.word);
        // A crossing is off by less than a span of 5.4 s, a stay by less than two; what is earned of the sheet's 1800 s by as
        // much.
        CHECK(std::abs(one.window.credit - other.window.credit) <= 2.0 * 5.4 / 1800.0);
        CHECK(std::abs(one.rows[1].longest_stay_s - other.rows[1].longest_stay_s) <= 2.0 * 5.4);
        // Least and greatest lie even about the mean, so that the dose is hardly another: 0.5 % seen at most, 1 % allowed.
        CHECK(std::abs(one.dose.at_value - other.dose.at_value) <= 0.01 * one.dose.at_value);
    }
}

TEST_CASE("an open gap stays as open as it was, a short one is bridged, and what was lost at the ends is") {
    Trace whole = dense_trace(0.0);
    lose(whole, 0.0, 30.0);
    lose(whole, 1000.0, 1100.0);
    lose(whole, 2000.0, 2300.0);
    lose(whole, 5300.0, 5401.0);
    const Trace fewer = condensed(whole, 200);  // spans of 27 s
    fewer.ensure_well_formed();
    const Gaps one = JoinedTrace(whole).gaps(), other = JoinedTrace(fewer).gaps();
    CHECK(other.open_s == one.open_s);
    CHECK(other.lost_before_s == one.lost_before_s);
    CHECK(other.lost_after_s == one.lost_after_s);
    CHECK(JoinedTrace(fewer).runs().size() == JoinedTrace(whole).runs().size());
    CHECK(std::abs(temperature_at_k(fewer.usable_samples(), 1050.0) - temperature_at_k(whole.usable_samples(), 1050.0)) <= 1e-9);
}

TEST_CASE("means of a noisy trace lie on the part that it sits on, also beside a gap") {
    // Mean of n readings with independent errors of s: off by s / sqrt(n), n = 54 here; five of these allowed of 1000 spans. A
    // mean stands at the mean of its times, where a straight course is met exactly and this one, bent by the warm-up's 600 s,
    // within 42 K * (5.4 s)^2 / (24 * (600 s)^2) = 0.0002 K.
    constexpr double noise_k = 0.3;
    Trace noisy = dense_trace(noise_k);
    lose(noisy, 2000.0, 2300.0);
    lose(noisy, 5300.0, 5401.0);
    const Trace bare = dense_trace(0.0);
    const Trace means = both_of(noisy, 1000).means;
    means.ensure_well_formed();
    CHECK(means.size() <= 1004);
    double most_k = 0.0;
    for (std::size_t i = 0; i < means.size(); ++i) {
        if (!means.usable(i)) continue;
        most_k = std::max(most_k, std::abs(means.temperature_k[i] - temperature_at_k(bare, means.time_s[i])));
    }
    CHECK(most_k <= 5.0 * noise_k / std::sqrt(20.0));  // beside a gap a span may be less than half full
    CHECK(most_k > 0.0);
    CHECK(JoinedTrace(means).runs().size() == JoinedTrace(noisy).runs().size());
    CHECK(JoinedTrace(means).gaps().open_s == doctest::Approx(JoinedTrace(noisy).gaps().open_s).epsilon(0.03));
}

TEST_CASE("a trace without a usable sample stays without one") {
    Trace whole = dense_trace(0.0);
    lose(whole, 0.0, 1e9);
    const auto [fewer, means] = both_of(whole, 100);
    CHECK(fewer.size() == 1);
    CHECK_FALSE(fewer.usable(0));
    CHECK(means.size() == 1);
    CHECK_FALSE(means.usable(0));
}
