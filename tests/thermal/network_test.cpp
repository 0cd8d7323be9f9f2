// SPDX-License-Identifier: Apache-2.0
#include "bakewright/thermal/network.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "bakewright/base/error.hpp"
#include "bakewright/base/units.hpp"
#include "bakewright/thermal/solve.hpp"

using namespace bakewright;
using namespace bakewright::thermal;

namespace {

struct NodeRun {
    std::vector<double> time_s;
    std::vector<std::vector<double>> node_k;
    std::vector<std::vector<double>> account_j;

    /// First time node 0 passes a temperature, by the straight line between reports.
    [[nodiscard]] double passes_s(double temperature_k) const {
        for (std::size_t i = 1; i < time_s.size(); ++i) {
            const double before = node_k[i - 1][0] - temperature_k, after = node_k[i][0] - temperature_k;
            if (before * after <= 0.0 && before != after)
                return time_s[i - 1] + (time_s[i] - time_s[i - 1]) * before / (before - after);
        }
        return std::nan("");
    }
};

NodeRun run(const Network& network, const std::vector<Segment>& segments, double interval_s, double tolerance = 1e-10) {
    NodeRun result;
    const SolveOptions options{
        .relative_tolerance = tolerance, .absolute_tolerance_k = std::max(tolerance, 1e-9), .output_interval_s = interval_s};
    solve(network, segments, options, [&](double time_s, std::span<const double> node_k, std::span<const double> account_j) {
        result.time_s.push_back(time_s);
        result.node_k.emplace_back(node_k.begin(), node_k.end());
        result.account_j.emplace_back(account_j.begin(), account_j.end());
    });
    return result;
}

/// One body with a film to a gas and radiation to walls; boundary 0 the gas, 1 the walls.
Network lone_body(double heat_capacity_j_per_k, double start_k, double film_w_per_k, double exchange_m2) {
    Network network;
    const Place body = network.add_node("body", heat_capacity_j_per_k, start_k);
    const Place gas = network.add_boundary("gas");
    const Place walls = network.add_boundary("walls");
    network.add_film({.air = {gas}, .node = body, .conductance_w_per_k = film_w_per_k});
    if (exchange_m2 > 0.0) network.add_radiation({.wall = {walls}, .node = body, .exchange_area_m2 = exchange_m2});
    return network;
}

Segment steady(double begin_s, double end_s, double gas_k, double walls_k) {
    return {begin_s, end_s, {gas_k, walls_k}, {gas_k, walls_k}, {}, 0};
}

}  // namespace

TEST_CASE("a thermocouple junction in a gas follows the lumped exponential") {
    // Source: Incropera & DeWitt, 6th ed., example 5.1, p. 261: sphere 0.7059 mm, h 400, rho 8500, c 400, 25 into 200 degC;
    // printed 5.2 s to 199 degC, exact 5.1648 s. Tolerance 1e-3 s: reports every 0.01 s joined by straight lines err by
    // h^2/8 * T''/T' < 1.3e-5 s; the rest is the printed diameter.
    const double diameter_m = 6.0 * 400.0 / (400.0 * 8500.0);
    const double area_m2 = std::numbers::pi * diameter_m * diameter_m;
    const double capacity = 8500.0 * 400.0 * area_m2 * diameter_m / 6.0;
    const Network network = lone_body(capacity, celsius_to_kelvin(25.0), 400.0 * area_m2, 0.0);
    const NodeRun result = run(network, {steady(0, 8, celsius_to_kelvin(200.0), 300.0)}, 0.01);
    CHECK(std::abs(result.passes_s(celsius_to_kelvin(199.0)) - 5.1648) <= 1e-3);
}

TEST_CASE("a thermocouple junction that also sees hot duct walls settles above the gas") {
    // Source: Incropera & DeWitt, 6th ed., example 5.2, p. 265: emissivity 0.9, walls 400 degC, diameter 7.06e-4 m; printed 218.7
    // degC and 4.9 s to 1 K below; exact solution of the stated inputs 218.728 degC and 4.994 s. Tolerances: 1e-3 K and 1e-3 s,
    // the digits of the exact values.
    const double diameter_m = 7.06e-4;
    const double area_m2 = std::numbers::pi * diameter_m * diameter_m;
    const double capacity = 8500.0 * 400.0 * area_m2 * diameter_m / 6.0;
    const Network network = lone_body(capacity, celsius_to_kelvin(25.0), 400.0 * area_m2, 0.9 * area_m2);
    const NodeRun result = run(network, {steady(0, 60, celsius_to_kelvin(200.0), celsius_to_kelvin(400.0))}, 0.01);
    const double settled_k = result.node_k.back()[0];
    CHECK(std::abs(kelvin_to_celsius(settled_k) - 218.728) <= 1e-3);
    CHECK(std::abs(result.passes_s(settled_k - 1.0) - 4.994) <= 1e-3);
}

TEST_CASE("the epoxy coated aluminium panel cures in the oven and cools in the chamber at the exact times") {
    // Source: Incropera & DeWitt, 6th ed., example 5.3, p. 267. Inputs from the book; its printed answers (124, 424, 989 s) carry
    // a coarse time step. Targets are the exact solution of the inputs: 123.041, 423.041 and 985.985 s, 174.755 degC when it
    // leaves. Tolerance 2e-3 s and 1e-3 K: the targets' last digit, and reports every 0.05 s joined by straight lines.
    const double capacity = 2770.0 * 875.0 * 0.003;
    Network network = lone_body(capacity, celsius_to_kelvin(25.0), 2.0 * 40.0, 2.0 * 0.8);
    const double oven_k = celsius_to_kelvin(175.0);
    const double reached_s = run(network, {steady(0, 500, oven_k, oven_k)}, 0.05).passes_s(celsius_to_kelvin(150.0));
    CHECK(std::abs(reached_s - 123.041) <= 2e-3);

    const double leaves_s = reached_s + 300.0;
    const NodeRun in_oven = run(network, {steady(0, leaves_s, oven_k, oven_k)}, 0.05);
    CHECK(std::abs(kelvin_to_celsius(in_oven.node_k.back()[0]) - 174.755) <= 1e-3);

    Network cooling = lone_body(capacity, in_oven.node_k.back()[0], 2.0 * 10.0, 2.0 * 0.8);
    const double chamber_k = celsius_to_kelvin(25.0);
    const NodeRun in_chamber = run(cooling, {steady(leaves_s, 1200.0, chamber_k, chamber_k)}, 0.05);
    CHECK(std::abs(in_chamber.passes_s(celsius_to_kelvin(37.0)) - 985.985) <= 2e-3);
    CHECK(std::abs((in_chamber.passes_s(celsius_to_kelvin(150.0)) - reached_s) - 334.116) <= 4e-3);
}

TEST_CASE("a panel without radiation reaches its temperature by the closed form") {
    // Source: closed form of the lumped body, the panel of example 5.3 with radiation left out: 162.854 s. Tolerance 1e-3 s.
    const Network network = lone_body(2770.0 * 875.0 * 0.003, celsius_to_kelvin(25.0), 80.0, 0.0);
    const double oven_k = celsius_to_kelvin(175.0);
    const NodeRun result = run(network, {steady(0, 300, oven_k, oven_k)}, 0.05);
    CHECK(std::abs(result.passes_s(celsius_to_kelvin(150.0)) - 162.854) <= 1e-3);
}

TEST_CASE("two bodies that exchange heat and nothing else meet by the closed form and keep their heat") {
    // Source: Bejan & Kraus (eds.), Heat Transfer Handbook, eqs. (3.287), (3.288), inputs ours: C 5000 and 12000 J/K, G 20 W/K,
    // 180 and 20 degC, after 200 s 103.421169 and 51.907846 degC. Tolerance 1e-6 K: the digits of the target.
    Network network;
    const Place hot = network.add_node("hot", 5000.0, celsius_to_kelvin(180.0));
    const Place cold = network.add_node("cold", 12000.0, celsius_to_kelvin(20.0));
    network.add_boundary("gas");
    network.add_boundary("walls");
    network.add_conduction({hot, cold, 20.0});
    const NodeRun result = run(network, {steady(0, 200, 300, 300)}, 10.0, 1e-11);
    CHECK(std::abs(kelvin_to_celsius(result.node_k.back()[0]) - 103.421169) <= 1e-6);
    CHECK(std::abs(kelvin_to_celsius(result.node_k.back()[1]) - 51.907846) <= 1e-6);
    for (const auto& node_k : result.node_k)
        CHECK(std::abs(5000.0 * kelvin_to_celsius(node_k[0]) + 12000.0 * kelvin_to_celsius(node_k[1]) - 1'140'000.0) <= 1e-4);
}

TEST_CASE("a body that only radiates warms by the closed form") {
    // Source: Bejan & Kraus (eds.), Heat Transfer Handbook, eq. (3.283), inputs ours: Ts 773.15 K, Ti 293.15 K, emissivity 1,
    // C 7222 J/m2K: 100, 200, 400 degC after 29.567120, 68.862737, 177.843559 s. Tolerance 2e-5 s: reports every 0.01 s joined by
    // straight lines.
    Network network;
    const Place body = network.add_node("body", 7222.0, 293.15);
    const Place walls = network.add_boundary("walls");
    network.add_radiation({.wall = {walls}, .node = body, .exchange_area_m2 = 1.0});
    const NodeRun result = run(network, {{0, 200, {773.15}, {773.15}, {}, 0}}, 0.01, 1e-11);
    CHECK(std::abs(result.passes_s(celsius_to_kelvin(100.0)) - 29.567120) <= 2e-5);
    CHECK(std::abs(result.passes_s(celsius_to_kelvin(200.0)) - 68.862737) <= 2e-5);
    CHECK(std::abs(result.passes_s(celsius_to_kelvin(400.0)) - 177.843559) <= 2e-5);
}

TEST_CASE("accounts hold the heat that flowed and close with the heat stored") {
    // Tolerance: 1e-9 of the heat moved; a Runge-Kutta step keeps a linear sum of its components exactly, so only rounding is
    // left.
    Network network;
    const AccountIndex convection = network.add_account("convection");
    const AccountIndex radiation = network.add_account("radiation");
    const AccountIndex source = network.add_account("source");
    const Place skin = network.add_node("skin", 3.7e3, 293.15);
    const Place frame = network.add_node("frame", 40e3, 288.15);
    const Place air = network.add_boundary("air");
    network.add_conduction({skin, frame, 7.0});
    network.add_film({.air = {air, 1.1, -29.0}, .node = skin, .conductance_w_per_k = 5.0, .account = convection});
    network.add_radiation({.wall = {air}, .node = skin, .exchange_area_m2 = 0.9, .account = radiation});
    network.add_source({frame, source});
    const NodeRun result =
        run(network, {{0, 900, {293.15}, {338.15}, {0.0}, 0}, {900, 3600, {338.15}, {338.15}, {55.0}, 1}}, 60, 1e-6);
    const std::vector<double>& account = result.account_j.back();
    const double stored_j = 3.7e3 * (result.node_k.back()[0] - 293.15) + 40e3 * (result.node_k.back()[1] - 288.15);
    CHECK(std::abs(account[2] - 55.0 * 2700.0) <= 1e-6 * account[2]);
    CHECK(std::abs(account[0] + account[1] + account[2] - stored_j) <= 1e-9 * (std::abs(account[0]) + std::abs(account[1])));
}

TEST_CASE("a short event between long quiet stretches is not stepped over") {
    // A ten-second burst of 5 kW after an hour at rest: the body must hold the whole 50 kJ. Tolerance 1e-3 K of 100 K.
    Network network;
    network.add_boundary("air");
    const Place body = network.add_node("body", 500.0, 300.0);
    network.add_source({body});
    const NodeRun result = run(
        network, {{0, 3600, {300}, {300}, {0.0}, 0}, {3600, 3610, {300}, {300}, {5e3}, 0}, {3610, 7200, {300}, {300}, {0.0}, 0}},
        600, 1e-6);
    CHECK(std::abs(result.node_k.back()[0] - 400.0) <= 1e-3);
}

TEST_CASE("every output moment and every segment's end is reported once and in order") {
    Network network = lone_body(1000.0, 300.0, 5.0, 0.0);
    const NodeRun result = run(network, {steady(0, 25, 310, 310), steady(25, 50, 320, 320)}, 10.0);
    CHECK(result.time_s == std::vector<double>{0, 10, 20, 25, 30, 40, 50});
}

TEST_CASE("a state that is not finite stops the run and names the time and the fastest node") {
    Network network = lone_body(1000.0, 300.0, 5.0, 0.0);
    Segment broken = steady(0, 100, std::nan(""), 300);
    try {
        run(network, {steady(-50, 0, 300, 300), broken}, 10.0);
        FAIL("a run with a NaN boundary must stop");
    } catch (const SolveError& error) {
        const std::string text = error.what();
        CHECK(text.find("stopped at 0.0 s") != std::string::npos);
        CHECK(text.find("body") != std::string::npos);
    }
}

TEST_CASE("a network refuses what has no meaning") {
    Network network;
    const Place a = network.add_node("a", 1.0, 300.0);
    CHECK_THROWS_AS(network.add_node("b", 0.0, 300.0), PromiseError);
    CHECK_THROWS_AS(network.add_node("b", 1.0, -1.0), PromiseError);
    CHECK_THROWS_AS(network.add_conduction({a, a, 1.0}), PromiseError);
    CHECK_THROWS_AS(network.add_conduction({a, {Place::Kind::node, 7}, 1.0}), PromiseError);
    CHECK_THROWS_AS(network.add_film({.air = {a}, .node = a, .conductance_w_per_k = 1.0}), PromiseError);
}
