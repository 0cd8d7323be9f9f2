// SPDX-License-Identifier: Apache-2.0
// Readings, quantiles, probabilities and random numbers of an ensemble, on temperatures that are known without solving.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "bakewright/base/error.hpp"
#include "bakewright/thermal/ensemble.hpp"

using namespace bakewright;
using namespace bakewright::thermal;

namespace {

/// A boundary that rises from 300 to 360 K in 605 s, stays until 1210 s, falls to 320 K until 1810 s and rises to 340 K until
/// 2410 s, watched beside a node that asks for no more than a few steps.
struct Ramp {
    Network network;
    std::vector<Segment> segments{{0, 605, {300}, {360}, {}, 0},
                                  {605, 1210, {360}, {360}, {}, 0},
                                  {1210, 1810, {360}, {320}, {}, 0},
                                  {1810, 2410, {320}, {340}, {}, 0}};
    Place node = network.add_node("block", 1e5, 300.0);
    Place air = network.add_boundary("air");

    Ramp() { network.add_film({.air = {air}, .node = node, .conductance_w_per_k = 1.0}); }

    static double air_k(double time_s) {
        if (time_s <= 605) return 300 + 60 * time_s / 605;
        if (time_s <= 1210) return 360;
        if (time_s <= 1810) return 360 - 40 * (time_s - 1210) / 600;
        return 320 + 20 * (time_s - 1810) / 600;
    }
};

EnsembleResult watch_air(const Ramp& ramp, std::vector<Reading> readings, const MemberGenerator& generator,
                         EnsembleOptions options) {
    const std::vector<WatchedPlace> watched{{"air", {ramp.air}, std::move(readings)}};
    return solve_ensemble(ramp.network, ramp.segments, watched, generator, options);
}

void nothing(std::size_t, EnsembleMember&) {}

}  // namespace

TEST_CASE("readings of straight lines are exact") {
    // 330 K: up after 302.5 s, down at 1660 s, up again at 2110 s. Tolerance: rounding of sums of 250 terms of 10 s.
    using Kind = Reading::Kind;
    const auto line = std::make_shared<TabulatedFunction>(TabulatedFunction{200.0, 7.0, {}});
    for (int i = 0; i <= 40; ++i) line->value.push_back(2.0 * (200.0 + 7.0 * i) - 100.0);
    for (const InstructionSet set : instruction_sets()) {
        EnsembleOptions options;
        options.member_count = 3;
        options.widest = set;
        options.precision = Precision::in_doubles;
        const EnsembleResult result = watch_air(Ramp{},
                                                {{Kind::highest_temperature},
                                                 {Kind::total_time_at_or_above, 330.0},
                                                 {Kind::longest_time_at_or_above, 330.0},
                                                 {Kind::total_time_at_or_above, 359.0},
                                                 {Kind::total_time_at_or_above, 361.0},
                                                 {Kind::longest_time_at_or_above, 250.0},
                                                 {Kind::largest_heating_rate},
                                                 {Kind::integral, 0.0, line}},
                                                nothing, options);
        const std::span<const double> row = result.row(2);
        CHECK(std::abs(row[0] - 360.0) <= 1e-9);
        CHECK(std::abs(row[1] - (1660.0 - 302.5 + 300.0)) <= 1e-9);
        CHECK(std::abs(row[2] - (1660.0 - 302.5)) <= 1e-9);
        CHECK(std::abs(row[3] - (605.0 + 605.0 / 60.0 + 15.0)) <= 1e-9);  // the last and the first kelvin of the ramps
        CHECK(row[4] == 0.0);
        CHECK(std::abs(row[5] - 2410.0) <= 1e-9);
        CHECK(std::abs(row[6] - 60.0 / 605.0) <= 1e-9);
        const double mean_times_span = 330.0 * 605 + 360.0 * 605 + 340.0 * 600 + 330.0 * 600;
        CHECK(std::abs(row[7] - (2.0 * mean_times_span - 100.0 * 2410.0)) <= 1e-6);
    }
}

TEST_CASE("outside its points a tabulated function keeps its ends, and every pack reads it like a single number") {
    const auto steps = std::make_shared<TabulatedFunction>(TabulatedFunction{310.0, 10.0, {1.0, 3.0, -2.0, 5.0}});
    CHECK(steps->at(200.0) == 1.0);
    CHECK(steps->at(310.0) == 1.0);
    CHECK(steps->at(315.0) == 2.0);
    CHECK(steps->at(330.0) == -2.0);
    CHECK(steps->at(334.0) == doctest::Approx(0.8));
    CHECK(steps->at(340.0) == 5.0);
    CHECK(steps->at(900.0) == 5.0);
    double expected = 0.0;
    const auto at_s = [&](double time_s) { return steps->at(Ramp::air_k(time_s)); };
    std::vector<double> moments{0.0};
    for (double time_s = 10.0; time_s < 2410.0; time_s += 10.0) {
        if (time_s > 605.0 && moments.back() < 605.0) moments.push_back(605.0);
        moments.push_back(time_s);
    }
    moments.push_back(2410.0);
    for (std::size_t i = 1; i < moments.size(); ++i)
        expected += 0.5 * (at_s(moments[i]) + at_s(moments[i - 1])) * (moments[i] - moments[i - 1]);
    for (const InstructionSet set : instruction_sets()) {
        EnsembleOptions options;
        options.member_count = 1;
        options.widest = set;
        options.precision = Precision::in_doubles;
        const EnsembleResult result = watch_air(Ramp{}, {{Reading::Kind::integral, 0.0, steps}}, nothing, options);
        CHECK(std::abs(result.row(0)[0] - expected) <= 1e-8);
    }
}

TEST_CASE("quantiles over time are those of all members sorted, exactly for few and within the resolution for many") {
    // Tolerance beyond the resolution: temperatures are kept as single-precision numbers, 3e-5 K at 360 K.
    const Ramp ramp;
    const auto offset_k = [](std::size_t index) {
        double z = 0.0;
        draw_normals(5, index, {&z, 1});
        return 3.0 * z;
    };
    const auto generator = [&](std::size_t index, EnsembleMember& member) {
        member.numbers.boundary_gain[0] = 1.0 + 1e-3 * static_cast<double>(index % 3);
        member.offset_k[0] = offset_k(index);
    };
    for (const std::size_t count : {1U, 300U, 3000U}) {
        EnsembleOptions options;
        options.member_count = count;
        options.quantile_levels = {0.0, 0.05, 0.5, 0.95, 1.0};
        const EnsembleResult result = watch_air(ramp, {}, generator, options);
        const EnsembleQuantiles& quantiles = result.quantiles;
        CHECK((count <= kExactQuantileMembers) == (quantiles.resolution_k == 0.0));
        CHECK(quantiles.resolution_k <= 0.2);
        REQUIRE(quantiles.time_s.size() == 41);
        for (std::size_t t = 0; t < quantiles.time_s.size(); ++t) {
            CHECK(quantiles.time_s[t] == 60.0 * static_cast<double>(t));
            std::vector<double> all;
            for (std::size_t m = 0; m < count; ++m)
                all.push_back(Ramp::air_k(quantiles.time_s[t]) * (1.0 + 1e-3 * static_cast<double>(m % 3)) + offset_k(m));
            for (std::size_t level = 0; level < 5; ++level)
                CHECK(std::abs(quantiles.of(0, level)[t] - quantile(all, quantiles.levels[level])) <=
                      quantiles.resolution_k + 1e-4);
        }
    }
}

TEST_CASE("without levels no quantiles are kept") {
    EnsembleOptions options;
    options.member_count = 3;
    options.quantile_levels = {};
    const EnsembleResult result = watch_air(Ramp{}, {{}}, nothing, options);
    CHECK(result.quantiles.time_s.empty());
    CHECK(result.member_count() == 3);
}

TEST_CASE("a quantile lies on the line between sorted numbers") {
    // Type 7 of Hyndman & Fan (1996): rank (n - 1) p.
    CHECK(quantile({4.0, 1.0, 3.0, 2.0}, 0.5) == 2.5);
    CHECK(quantile({4.0, 1.0, 3.0, 2.0}, 0.0) == 1.0);
    CHECK(quantile({4.0, 1.0, 3.0, 2.0}, 1.0) == 4.0);
    CHECK(std::abs(quantile({4.0, 1.0, 3.0, 2.0}, 0.1) - 1.3) <= 1e-12);
    CHECK(quantile({7.0}, 0.3) == 7.0);
}

TEST_CASE("a probability comes with Wilson's interval") {
    // 81 of 263: 0.2553 to 0.3662 (Newcombe, Stat. Med. 17 (1998) 857, table I, method 3; from memory).
    EnsembleResult result;
    result.is_complete = true;
    result.column_count = 1;
    for (int i = 0; i < 263; ++i) result.rows.push_back(i);
    const EventProbability some = probability(result, [](std::span<const double> row) { return row[0] < 81.0; });
    CHECK(std::abs(some.share - 81.0 / 263.0) <= 1e-15);
    CHECK(std::abs(some.low - 0.2553) <= 5e-5);
    CHECK(std::abs(some.high - 0.3662) <= 5e-5);
    const EventProbability none = probability(result, [](std::span<const double>) { return false; });
    CHECK(none.low == 0.0);
    CHECK(std::abs(none.high - 3.841459 / (263.0 + 3.841459)) <= 1e-6);
}

TEST_CASE("a member's random numbers are its own, whatever was drawn before, and as many as are asked for") {
    std::vector<double> few(3), many(40), again(40), other(40), reseeded(40);
    draw_normals(1, 7, few);
    draw_normals(1, 7, many);
    draw_normals(1, 8, other);
    draw_normals(2, 7, reseeded);
    draw_normals(1, 7, again);
    CHECK(many == again);
    CHECK(std::equal(few.begin(), few.end(), many.begin()));
    CHECK(many != other);
    CHECK(many != reseeded);
}

TEST_CASE("random numbers of many members are standard normal and not correlated") {
    // Standard errors with 20,000 members: mean 0.007, variance 0.01, correlation 0.007; four of them allowed. Fixed seed.
    constexpr int n = 20'000;
    double sum[2] = {0, 0}, squares[2] = {0, 0}, product = 0.0, next = 0.0, last = 0.0;
    int below = 0;
    for (int m = 0; m < n; ++m) {
        double z[2];
        draw_normals(42, static_cast<std::size_t>(m), z);
        for (int i = 0; i < 2; ++i) {
            sum[i] += z[i];
            squares[i] += z[i] * z[i];
        }
        product += z[0] * z[1];
        next += z[0] * last;
        last = z[0];
        below += cumulative_normal(z[0]) < 0.05 ? 1 : 0;
    }
    for (int i = 0; i < 2; ++i) {
        CHECK(std::abs(sum[i] / n) <= 0.028);
        CHECK(std::abs(squares[i] / n - 1.0) <= 0.04);
    }
    CHECK(std::abs(product / n) <= 0.028);
    CHECK(std::abs(next / n) <= 0.028);
    CHECK(std::abs(below / static_cast<double>(n) - 0.05) <= 4 * 0.00154);
    CHECK(std::abs(cumulative_normal(1.959963984540054) - 0.975) <= 1e-12);
}
