// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "bakewright/base/error.hpp"
#include "bakewright/thermal/solve.hpp"
#include "rate_system.hpp"

using namespace bakewright;
using namespace bakewright::thermal;

// Heaters at their limits, and temperatures that follow a place above a level alone. All networks here are invented.

namespace {

/// Air of 10 kJ/K that loses 50 W/K to the outside, with a sensor of 5 s; boundaries: set point, outside.
struct Room {
    Network network;
    Place air, sensor;
};

Room room(Heater heater, double start_k) {
    Room made;
    Network& network = made.network;
    const AccountIndex burnt = network.add_account("burner");
    const Place setpoint = network.add_boundary("set point"), outside = network.add_boundary("outside");
    made.air = network.add_node("air", 10e3, start_k);
    made.sensor = network.add_node("sensor", 1.0, start_k);
    network.add_conduction({outside, made.air, 50.0});
    network.add_film({.air = {made.air}, .node = made.sensor, .conductance_w_per_k = 0.2});
    heater.node = heater.limit = made.air;
    heater.sensor = heater.control == Heater::Control::proportional ? made.air : made.sensor;
    heater.setpoint = setpoint;
    heater.account = burnt;
    network.add_heater(heater);
    return made;
}

Heater proportional_integral() {
    Heater heater;
    heater.gain_w_per_k = 400.0;
    heater.integral_time_s = 200.0;
    heater.largest_power_w = 6000.0;
    return heater;
}

struct Run {
    std::vector<double> time_s, air_k, burnt_j;
    SolveStatistics statistics;
};

Run run(const Network& network, const std::vector<Segment>& segments, const SolveOptions& options = {}) {
    Run made;
    made.statistics =
        solve(network, segments, options, [&](double time_s, std::span<const double> node_k, std::span<const double> account_j) {
            made.time_s.push_back(time_s);
            made.air_k.push_back(node_k[0]);
            made.burnt_j.push_back(account_j[0]);
        });
    return made;
}

Segment held(double begin_s, double end_s, double setpoint_k, double outside_k) {
    return {begin_s, end_s, {setpoint_k, outside_k}, {setpoint_k, outside_k}, {}, 0};
}

std::size_t steps(const Run& made) { return made.statistics.accepted_steps + made.statistics.rejected_steps; }

}  // namespace

TEST_CASE("a controller that rests on its limit takes no steps for it, at any tolerance") {
    // Everything at 293.15 K: the demand is nothing, to the last digits.
    const Room made = room(proportional_integral(), 293.15);
    for (const double tolerance_k : {1e-2, 5e-3, 1e-6, 1e-9}) {
        const Run at_rest = run(made.network, {held(0.0, 86400.0, 293.15, 293.15)}, {.absolute_tolerance_k = tolerance_k});
        CAPTURE(tolerance_k);
        CHECK(steps(at_rest) <= 40);
        CHECK(at_rest.burnt_j.back() == 0.0);
    }
}

TEST_CASE("a controller that creeps towards its limit for hours takes few steps") {
    // The outside warms to the set point and a little over it: the demand falls to nothing, slowly, and stays about there.
    const Room made = room(proportional_integral(), 293.15);
    const std::vector<Segment> segments{{0.0, 40000.0, {293.15, 283.15}, {293.15, 293.149}, {}, 0},
                                        {40000.0, 80000.0, {293.15, 293.149}, {293.15, 293.151}, {}, 0},
                                        {80000.0, 120000.0, {293.15, 293.151}, {293.15, 293.149}, {}, 0}};
    const Run creeping = run(made.network, segments);
    CHECK(steps(creeping) <= 400);
    CHECK(creeping.burnt_j.back() > 0.0);
}

TEST_CASE("a heater in proportion to the error settles where its power is what is lost") {
    // P = K (T_set - T) = G (T - T_out): T = (K T_set + G T_out) / (K + G). Tolerance 1e-3 K: steps err by 5e-3 K and fade.
    Heater heater;
    heater.control = Heater::Control::proportional;
    heater.gain_w_per_k = 450.0;
    heater.largest_power_w = 6000.0;
    const Run plain = run(room(heater, 283.15).network, {held(0.0, 7200.0, 333.15, 283.15)});
    CHECK(std::abs(plain.air_k.back() - (450.0 * 333.15 + 50.0 * 283.15) / 500.0) <= 1e-3);
    // With a bias of the whole offset it is at the set point: K bias = G (T_set - T_out).
    heater.bias_k = 50.0 * 50.0 / 450.0;
    const Run biased = run(room(heater, 283.15).network, {held(0.0, 7200.0, 333.15, 283.15)});
    CHECK(std::abs(biased.air_k.back() - 333.15) <= 1e-3);
}

TEST_CASE("a heater over a band of 0.01 K is an ideal one of its power: full until the set point is there, then on it") {
    // Full power 6 kW from 283.15 K: T = 283.15 + 120 (1 - exp(-t / 200 s)), the set point 333.15 K after
    // 200 ln(120 / 70) = 107.8 s. Tolerance 0.02 K: the band and the steps.
    Heater heater;
    heater.control = Heater::Control::proportional;
    heater.largest_power_w = 6000.0;
    heater.gain_w_per_k = heater.largest_power_w / 0.01;
    const Run made = run(room(heater, 283.15).network, {held(0.0, 600.0, 333.15, 283.15)});
    for (std::size_t i = 0; i < made.time_s.size(); ++i) {
        const double free_k = 283.15 + 120.0 * (1.0 - std::exp(-made.time_s[i] / 200.0));
        CHECK(std::abs(made.air_k[i] - std::min(free_k, 333.15)) <= 0.02);
        CHECK(made.air_k[i] <= 333.15 + 1e-6);
    }
    CHECK(steps(made) <= 200);
}

TEST_CASE("the 501st firing of an on-off heater is its mean's, and heat goes on at the same pace") {
    Heater heater;
    heater.control = Heater::Control::on_off;
    heater.band_k = 0.5;
    heater.largest_power_w = 5000.0;
    const Run made = run(room(heater, 283.15).network, {held(0.0, 40000.0, 333.15, 283.15)});
    const auto lit = std::count_if(made.statistics.switches.begin(), made.statistics.switches.end(),
                                   [](const HeaterSwitch& one) { return one.kind == HeaterSwitch::Kind::on; });
    CHECK(lit == 500);
    const double last_s = made.statistics.switches.back().time_s;
    REQUIRE(last_s < 30000.0);
    const auto mean_w = [&](double from_s, double to_s) {
        return (made.burnt_j[static_cast<std::size_t>(to_s / 10.0)] - made.burnt_j[static_cast<std::size_t>(from_s / 10.0)]) /
               (to_s - from_s);
    };
    // Loss at the set point: 50 W/K times 50 K. One percent: the swing is not quite even about its set point.
    CHECK(std::abs(mean_w(2000.0, 10.0 * std::floor(last_s / 10.0)) - 2500.0) <= 25.0);
    CHECK(std::abs(mean_w(last_s + 1000.0, 40000.0) - 2500.0) <= 25.0);
}

TEST_CASE("a run that never ends says what to change at the burner") {
    // A loop that cannot rest: integral time far under the sensor's lag, sought over a year.
    Heater heater = proportional_integral();
    heater.integral_time_s = 0.5;
    SolveOptions options;
    options.largest_step_count = 60'000;
    options.output_interval_s = 3600.0;
    try {
        static_cast<void>(run(
            room(heater, 283.15).network,
            [] {
                std::vector<Segment> year;
                for (int day = 0; day < 365; ++day) year.push_back(held(day * 86400.0, (day + 1) * 86400.0, 333.15, 283.15));
                return year;
            }(),
            options));
        FAIL("ended");
    } catch (const SolveError& error) {
        const std::string text = error.what();
        CAPTURE(text);
        CHECK(text.find("60000 steps did not reach the end") != std::string::npos);
        CHECK(text.find("give its controller a longer integral time or a smaller gain") != std::string::npos);
    }
}

TEST_CASE("a temperature that follows a place above a level is at the place below it, and in segments without heat") {
    // Two skins in given air: one in air 20 % hotter above 300 K, one in plain air. Linear film: closed form of first order is
    // not needed, the two differ or they do not.
    Network network;
    const Place air = network.add_boundary("air");
    const Place plain = network.add_node("plain", 1e3, 290.0), hot = network.add_node("hot", 1e3, 290.0);
    const Following hotter{.place = air, .gain = 1.2, .offset_k = -60.0, .factor = kNoFactor, .above_k = 300.0};
    CHECK(hotter.at_k(299.0) == 299.0);
    CHECK(hotter.at_k(310.0) == doctest::Approx(312.0));
    network.add_film({.air = {air}, .node = plain, .conductance_w_per_k = 20.0});
    network.add_film({.air = hotter, .node = hot, .conductance_w_per_k = 20.0});
    network.add_radiation({.wall = {air}, .node = plain, .exchange_area_m2 = 1.0});
    network.add_radiation({.wall = hotter, .node = hot, .exchange_area_m2 = 1.0});
    const auto ends_k = [&](double air_k, bool is_heated) {
        std::vector<double> end_k;
        Segment segment{0.0, 3600.0, {air_k}, {air_k}, {}, 0};
        segment.is_heated = is_heated;
        static_cast<void>(solve(network, std::vector<Segment>{segment}, {},
                                [&](double, std::span<const double> node_k, std::span<const double>) {
                                    end_k.assign(node_k.begin(), node_k.end());
                                }));
        return end_k;
    };
    CHECK(ends_k(295.0, true)[1] == ends_k(295.0, true)[0]);
    CHECK(ends_k(320.0, false)[1] == ends_k(320.0, false)[0]);
    CHECK(std::abs(ends_k(320.0, true)[0] - 320.0) <= 1e-3);
    CHECK(std::abs(ends_k(320.0, true)[1] - 324.0) <= 1e-3);
}

TEST_CASE("slopes on both sides of a level are those of differences") {
    // As in controlled_network_test.cpp: central differences over 2 x 1e-3 K, away from the level.
    Network network;
    const Place air = network.add_node("air", 5e3, 300.0), skin = network.add_node("skin", 1e3, 300.0);
    const Following hotter{.place = air, .gain = 1.3, .offset_k = -90.0, .factor = kNoFactor, .above_k = 300.0};
    network.add_film({.air = hotter, .node = skin, .conductance_w_per_k = 20.0});
    network.add_convection({.air = hotter, .node = skin, .area_m2 = 1.0, .film = {}});
    network.add_radiation({.wall = hotter, .node = skin, .exchange_area_m2 = 1.0});
    RateSystem<double> system(network);
    system.set_segment({0.0, 600.0, {}, {}, {}, 0});
    const SparsityPattern& pattern = system.pattern();
    std::vector<double> values(pattern.entry_count()), high(2), low(2);
    for (const double air_k : {310.0, 290.0}) {
        const std::vector<double> y{air_k, 302.0};
        system.jacobian(0.0, y, values);
        for (std::size_t row = 0; row < 2; ++row)
            for (std::uint32_t e = pattern.row_begin()[row]; e < pattern.row_begin()[row + 1]; ++e) {
                std::vector<double> above = y, below = y;
                above[pattern.columns()[e]] += 1e-3;
                below[pattern.columns()[e]] -= 1e-3;
                system.rates(0.0, above, high);
                system.rates(0.0, below, low);
                CHECK(std::abs(values[e] - (high[row] - low[row]) / 2e-3) <= 1e-7);
            }
    }
}

TEST_CASE("a member's distance never goes below the level it grows from") {
    // Walls 30 % of the rise under the air, drawn five times as far: they stay at the ambient and do not go under it.
    Network network;
    const FactorIndex distance = network.add_factor("distance");
    const Place air = network.add_boundary("air");
    const Place skin = network.add_node("skin", 1e3, 290.0);
    network.add_film({.air = {.place = air, .gain = 0.7, .offset_k = 87.0, .factor = distance, .above_k = 290.0},
                      .node = skin,
                      .conductance_w_per_k = 10.0});
    RateSystem<double> system(network);
    Member<double> member(network);
    member.factor[distance] = 5.0;
    system.set_member(member);
    system.set_segment({0.0, 600.0, {340.0}, {340.0}, {}, 0});
    std::vector<double> rate(1);
    system.rates(0.0, std::vector<double>{290.0}, rate);
    CHECK(std::abs(rate[0]) <= 1e-12);
}
