// SPDX-License-Identifier: Apache-2.0
#include "bakewright/tune/trend.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <numeric>
#include <vector>

#include "bakewright/thermal/ensemble.hpp"

using namespace bakewright;
using tune::BakeOfTrend;
using tune::Trend;

namespace {

constexpr double kMonth_s = 365.25 * 24.0 * 3600.0 / 12.0;

/// Kendall's S of an order.
std::size_t s_of(const std::vector<int>& order) {
    int s = 0;
    for (std::size_t b = 0; b < order.size(); ++b)
        for (std::size_t a = 0; a < b; ++a) s += order[b] > order[a] ? 1 : -1;
    return static_cast<std::size_t>(std::abs(s));
}

/// Invented bakes of one booth, one every half month: what drifts, and how much a month.
struct Drift {
    double air_k = 0.0, bias_k = 0.0, lag_s = 0.0;
};
std::vector<BakeOfTrend> bakes_of(std::size_t count, std::uint64_t seed, const Drift& drift) {
    std::vector<BakeOfTrend> bakes;
    for (std::size_t i = 0; i < count; ++i) {
        std::vector<double> z(8);
        thermal::draw_normals(seed, i, z);
        const double months = 0.5 * static_cast<double>(i) + 0.1 * z[0];
        BakeOfTrend bake{"bake", "2027-01-01", months * kMonth_s, {}, {}};
        bake.air_offset_k = -0.5 + drift.air_k * months + 0.4 * z[1];
        bake.groups = {{"facing up", 2, 1.0 + drift.bias_k * months + 0.6 * z[2], 60.0 + 30.0 * z[3]},
                       {"upright", 4, -0.5 + 0.6 * z[4], 20.0 + drift.lag_s * months + 20.0 * z[5]}};
        bakes.push_back(std::move(bake));
    }
    std::reverse(bakes.begin(), bakes.end());  // the order given does not matter
    return bakes;
}

std::size_t told(const tune::BoothTrend& trend) {
    return static_cast<std::size_t>(
        std::count_if(trend.trends.begin(), trend.trends.end(), [](const Trend& one) { return one.is_told; }));
}

const Trend& trend_of(const tune::BoothTrend& trend, Trend::Of of, const std::string& group) {
    const auto found = std::find_if(trend.trends.begin(), trend.trends.end(),
                                    [&](const Trend& one) { return one.of == of && one.group == group; });
    REQUIRE(found != trend.trends.end());
    return *found;
}

}  // namespace

TEST_CASE("Kendall's chances are those of all orders counted") {
    // Exact by enumeration of every permutation; tolerance: rounding.
    for (const std::size_t n : {3u, 4u, 5u, 7u}) {
        std::vector<int> order(n);
        std::iota(order.begin(), order.end(), 0);
        std::vector<double> at_least(n * (n - 1) / 2 + 1, 0.0);
        double all = 0.0;
        do {
            for (std::size_t s = 0; s <= s_of(order); ++s) at_least[s] += 1.0;
            all += 1.0;
        } while (std::next_permutation(order.begin(), order.end()));
        for (std::size_t s = n * (n - 1) / 2 % 2; s < at_least.size(); s += 2) {
            CAPTURE(n);
            CAPTURE(s);
            CHECK(std::abs(tune::kendall_probability(n, s) - at_least[s] / all) <= 1e-12);
        }
    }
    // The normal approximation beyond 100 points goes on from the exact chances: within 2 %.
    const double exact = tune::kendall_probability(100, 660), normal = tune::kendall_probability(101, 669);
    CHECK(std::abs(exact / normal - 1.0) <= 0.05);
}

TEST_CASE("a robust slope is the median of all pairs', with ranks for its interval, and one outlier does not bend it") {
    // By hand: points on y = 2 t but one: slopes of the ten pairs of five points; the outlier at t = 3 spoils four of them.
    const std::vector<double> t{0, 1, 2, 3, 4}, y{0, 2, 4, 60, 8};
    const auto found = tune::robust_slope(t, y);
    REQUIRE(found.has_value());
    CHECK(found->slope == 2.0);
    // Five points: only all ten pairs alike are rarer than 5 % (2 of 120 orders), so the interval is that of all slopes.
    REQUIRE(found->low.has_value());
    CHECK(*found->low == -52.0);
    CHECK(*found->high == 56.0);
    // S = 9 - 1 = 8: 2 * (1 + 4) / 120.
    CHECK(std::abs(found->probability - 10.0 / 120.0) <= 1e-12);
    const auto few = tune::robust_slope(std::vector<double>{0, 1, 2, 3}, std::vector<double>{0, 2, 4, 6});
    REQUIRE(few.has_value());
    CHECK(few->slope == 2.0);
    CHECK_FALSE(few->low.has_value());  // the rarest order of four happens in 2 of 24
    CHECK_FALSE(tune::robust_slope(std::vector<double>{0, 1}, std::vector<double>{0, 2}).has_value());
    CHECK_FALSE(tune::robust_slope(std::vector<double>{1, 1, 1}, std::vector<double>{0, 2, 3}).has_value());
}

TEST_CASE("the interval of a robust slope holds the truth in 95 percent of cases or a little more") {
    // 400 invented series of nine normal points on a line. Exact level for nine points: P(|S| >= 20) = 0.0445. Sampling error of
    // a share of 400 at 0.955: 0.0104; three of those either way.
    std::size_t held = 0;
    for (std::uint64_t series = 0; series < 400; ++series) {
        std::vector<double> z(9), t(9), y(9);
        thermal::draw_normals(99, series, z);
        for (std::size_t i = 0; i < 9; ++i) t[i] = static_cast<double>(i), y[i] = 0.3 * t[i] + z[i];
        const auto found = tune::robust_slope(t, y);
        REQUIRE(found->low.has_value());
        held += *found->low <= 0.3 && 0.3 <= *found->high ? 1 : 0;
    }
    const double share = static_cast<double>(held) / 400.0;
    CAPTURE(share);
    CHECK(share >= 0.955 - 0.031);
    CHECK(share <= 0.955 + 0.031);
}

TEST_CASE("a booth whose air runs colder each month is told so, and nothing else is") {
    const tune::BoothTrend trend = tune::booth_trend(bakes_of(12, 5, {.air_k = -0.8}));
    REQUIRE(trend.bakes.size() == 12);
    for (std::size_t i = 1; i < 12; ++i) CHECK(trend.bakes[i].at_s >= trend.bakes[i - 1].at_s);
    const Trend& air = trend_of(trend, Trend::Of::air, {});
    CHECK(air.is_told);
    // Noise of 0.4 K over 5.5 months of 12 bakes leaves a slope of 0.07 K a month: within four of those.
    CHECK(std::abs(air.slope_per_s.slope * kMonth_s + 0.8) <= 0.28);
    CHECK(*air.slope_per_s.low * kMonth_s < -0.5);
    CHECK(*air.slope_per_s.high < 0.0);
    CHECK(told(trend) == 1);
}

TEST_CASE("drifts of bias and lag are told by zone group") {
    const tune::BoothTrend trend = tune::booth_trend(bakes_of(14, 8, {.bias_k = 1.0, .lag_s = 40.0}));
    CHECK(trend_of(trend, Trend::Of::bias, "facing up").is_told);
    CHECK(trend_of(trend, Trend::Of::lag, "upright").is_told);
    CHECK(told(trend) == 2);
}

TEST_CASE(
    "a booth that does not drift raises an alarm in less than one case of twenty, and a drift too small to matter in none") {
    // 200 invented booths of eight bakes. Five quantities share 5 %; sampling error of a share of 200 at 0.05 is 0.0154: at most
    // 0.05 and two of those.
    std::size_t alarms = 0;
    for (std::uint64_t booth = 0; booth < 200; ++booth)
        alarms += told(tune::booth_trend(bakes_of(8, 1000 + booth, {}))) > 0 ? 1 : 0;
    CAPTURE(alarms);
    CHECK(static_cast<double>(alarms) / 200.0 <= 0.081);
    std::vector<BakeOfTrend> gentle;
    for (std::size_t i = 0; i < 10; ++i)
        gentle.push_back({"bake", "", static_cast<double>(i) * kMonth_s, 0.04 * static_cast<double>(i), {}});
    CHECK(tune::booth_trend(gentle).trends.at(0).slope_per_s.probability < 1e-5);  // as sure as can be
    CHECK(told(tune::booth_trend(gentle)) == 0);                                   // 0.36 K in ten months
}

TEST_CASE(
    "the air's offset is read on the log's own plateau, overshoot, open doors, dead samples and a late clock notwithstanding") {
    // Invented: the air overshoots by 8 K at first, then lies 1.5 K under its set point of 60 degC, wavering by 0.8 K; a door
    // opens for two minutes. Tolerance: the wave's own, 0.1 K.
    const std::vector<bake::ResolvedStage> stages{{bake::StageKind::ramp, 0, 1200, 293.15, 333.15, 0},
                                                  {bake::StageKind::hold, 1200, 4800, 333.15, 333.15, 1},
                                                  {bake::StageKind::cool, 4800, 6000, 333.15, 293.15, 2}};
    for (const double late_s : {0.0, 1500.0}) {
        Trace air{"air", TraceRole::booth_air, {}, {}, {}};
        for (double t = 0.0; t <= 7500.0; t += 20.0) {
            const double at = t - late_s, plateau = 331.65 + 0.8 * std::sin(at / 60.0);
            air.time_s.push_back(t);
            air.temperature_k.push_back(at < 1200.0 || at > 4800.0    ? 295.0 + 0.002 * t
                                        : at < 1800.0                 ? 341.15
                                        : at >= 3600.0 && at < 3720.0 ? 315.0
                                                                      : plateau);
        }
        air.temperature_k[200] = std::nan("");
        const auto found = tune::plateau_offset_k(air, stages);
        REQUIRE(found.has_value());
        CHECK(std::abs(*found + 1.5) <= 0.1);
        CHECK_FALSE(tune::plateau_offset_k(air, {stages[0]}).has_value());
    }
    CHECK_FALSE(tune::plateau_offset_k(Trace{"air", TraceRole::booth_air, {}, {}, {}}, stages).has_value());
    // A log that only climbs has no plateau.
    Trace climb{"air", TraceRole::booth_air, {}, {}, {}};
    for (double t = 0.0; t <= 3000.0; t += 20.0) climb.time_s.push_back(t), climb.temperature_k.push_back(293.15 + 0.015 * t);
    CHECK_FALSE(tune::plateau_offset_k(climb, stages).has_value());
}

TEST_CASE("channels are put together by zone group, lags only of those that tell one") {
    tune::Comparison comparison;
    const auto add = [&](const char* name, double bias_k, std::optional<double> lag_s) {
        tune::ChannelComparison channel;
        channel.predicted = channel.logged = name;
        channel.bias_k = bias_k;
        channel.lag_s = lag_s;
        comparison.channels.push_back(channel);
    };
    add("roof", 2.0, 60.0);
    add("door", -1.0, {});
    add("side", 3.0, 30.0);
    add("booth air", 9.0, 9.0);
    const auto groups = tune::by_group(comparison, [](const std::string& name) {
        return name == "roof" ? std::string("facing up") : name == "booth air" ? std::string() : std::string("upright");
    });
    REQUIRE(groups.size() == 2);
    CHECK(groups[0].name == "facing up");
    CHECK(groups[1].zones == 2);
    CHECK(groups[1].bias_k == 1.0);
    CHECK(groups[1].lag_s == 30.0);
}
