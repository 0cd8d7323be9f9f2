// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <vector>

#include "bakewright/base/error.hpp"
#include "bakewright/base/units.hpp"
#include "bakewright/thermal/solve.hpp"
#include "rate_system.hpp"
#include "support/dormand_prince.hpp"

using namespace bakewright;
using namespace bakewright::thermal;

// Films by correlation, gaps and heaters as edges of a network; members of an ensemble. All networks here are invented.

namespace {

struct Booth {
    Network network;
    Place air, sensor, skin, lining;
    FactorIndex film, mass, exchange, distance, power;
};

Heater heater(Heater::Control control) {
    Heater made;
    made.control = control;
    made.gain_w_per_k = 400.0;
    made.integral_time_s = 200.0;
    made.band_k = 2.0;
    made.largest_power_w = 6000.0;
    made.may_fire = {true, true, false, true};
    return made;
}

/// Air heated by a controlled heater, a double skin in it, walls that are given. Boundaries: set point, outside.
Booth controlled_booth(Heater::Control control) {
    Booth made;
    Network& network = made.network;
    const AccountIndex burner = network.add_account("burner");
    const AccountIndex shell = network.add_account("shell");
    made.film = network.add_factor("film");
    made.mass = network.add_factor("mass");
    made.exchange = network.add_factor("exchange");
    made.distance = network.add_factor("distance");
    made.power = network.add_factor("power");
    const Place setpoint = network.add_boundary("set point");
    const Place outside = network.add_boundary("outside");
    made.air = network.add_node("air", 20e3, 293.15);
    made.sensor = network.add_node("sensor", 1.0, 293.15);
    made.skin = network.add_node("skin", 8e3, 293.15, made.mass);
    made.lining = network.add_node("lining", 5e3, 293.15);
    network.add_film({.air = {made.air, 1.02, -5.9, kNoFactor}, .node = made.sensor, .conductance_w_per_k = 1.0 / 25.0});
    network.add_film({.air = {outside, 1.0, 0.0, kNoFactor},
                      .node = made.air,
                      .conductance_w_per_k = 60.0,
                      .mode_factor = {1.0, 4.0, 1.0, 0.0}});
    FilmModel roof;
    roof.lie = FilmModel::Lie::facing_up;
    roof.speed_m_per_s = 0.4;
    roof.stream_length_m = 2.0;
    roof.area_over_perimeter_m = 0.5;
    network.add_convection({.air = {made.air, 1.1, -29.0, made.distance},
                            .node = made.skin,
                            .area_m2 = 2.0,
                            .film = roof,
                            .forced_factor = {1.0, 0.5, 1.0, 1.0},
                            .account = shell,
                            .factor = made.film});
    GapModel gap;
    gap.width_m = 0.03;
    network.add_gap_convection({.outer = made.skin, .inner = made.lining, .area_m2 = 2.0, .gap = gap, .account = shell});
    network.add_radiation({.wall = {outside, 1.0, 0.0, kNoFactor},
                           .node = made.skin,
                           .exchange_area_m2 = 1.8,
                           .account = shell,
                           .factor = made.exchange});
    Heater burner_of = heater(control);
    burner_of.node = burner_of.limit = made.air;
    burner_of.sensor = made.sensor;
    burner_of.setpoint = setpoint;
    burner_of.account = burner;
    burner_of.factor = made.power;
    network.add_heater(burner_of);
    return made;
}

Segment ramp(std::size_t mode) { return {0.0, 600.0, {300.0, 288.0}, {330.0, 290.0}, {}, mode}; }

std::vector<double> rates_at(const RateSystem<double>& system, double time_s, const std::vector<double>& y) {
    std::vector<double> dydt(system.size());
    system.rates(time_s, y, dydt);
    return dydt;
}

/// air, sensor, skin, lining, two accounts, integral [K].
std::vector<double> state(double sensor_k, double integral_k) { return {316.0, sensor_k, 303.7, 296.3, 1.0, 2.0, integral_k}; }

void check_jacobian(const RateSystem<double>& system, const std::vector<double>& y) {
    const SparsityPattern& pattern = system.pattern();
    std::vector<double> values(pattern.entry_count());
    system.jacobian(100.0, y, values);
    std::vector<std::vector<double>> dense(system.size(), std::vector<double>(system.size(), 0.0));
    for (std::size_t row = 0; row < system.size(); ++row)
        for (std::uint32_t e = pattern.row_begin()[row]; e < pattern.row_begin()[row + 1]; ++e)
            dense[row][pattern.columns()[e]] = values[e];
    for (std::size_t column = 0; column < system.size(); ++column) {
        std::vector<double> above = y, below = y;
        above[column] += 1e-3;
        below[column] -= 1e-3;
        const std::vector<double> high = rates_at(system, 100.0, above), low = rates_at(system, 100.0, below);
        for (std::size_t row = 0; row < system.size(); ++row) {
            CAPTURE(row);
            CAPTURE(column);
            CHECK(std::abs(dense[row][column] - (high[row] - low[row]) / 2e-3) <= 1e-8);
        }
    }
}

struct Samples {
    std::vector<std::vector<double>> node_k, account_j;
    SolveStatistics statistics;
};

Samples solved(const Network& network, const std::vector<Segment>& segments, const SolveOptions& options = {}) {
    Samples samples;
    samples.statistics =
        solve(network, segments, options, [&](double, std::span<const double> node_k, std::span<const double> account_j) {
            samples.node_k.emplace_back(node_k.begin(), node_k.end());
            samples.account_j.emplace_back(account_j.begin(), account_j.end());
        });
    return samples;
}

/// Air of capacity C that an on-off heater of power P warms and that loses G (T - 280 K); the sensor is the air itself.
Network bare_air(double capacity_j_per_k, double loss_w_per_k, double power_w, double band_k, std::optional<double> limit_k) {
    Network network;
    const Place setpoint = network.add_boundary("set point");
    const Place outside = network.add_boundary("outside");
    const Place air = network.add_node("air", capacity_j_per_k, 280.0);
    network.add_conduction({outside, air, loss_w_per_k});
    Heater made;
    made.control = Heater::Control::on_off;
    made.node = made.sensor = made.limit = air;
    made.setpoint = setpoint;
    made.largest_power_w = power_w;
    made.band_k = band_k;
    made.limit_k = limit_k;
    network.add_heater(made);
    return network;
}

}  // namespace

// Central differences over 2 x 1e-3 K: their error is 1e-6/6 of a third derivative of at most 1e-4 1/(s K2), rounding of rates of
// 0.3 K/s is 3e-14 and so 3e-11 of the slope. Tolerance 1e-8 1/s of entries up to 0.04.
TEST_CASE("the Jacobian with films by correlation, a gap and a heater is that of differences, free and at both limits") {
    RateSystem<double> system(controlled_booth(Heater::Control::proportional_integral).network);
    for (const std::size_t mode : {0U, 1U, 2U, 3U}) {
        CAPTURE(mode);
        system.set_segment(ramp(mode));
        check_jacobian(system, state(301.0, 1.0));    // demand 400 (305 - 301 + 1) = 2 kW: free
        check_jacobian(system, state(290.0, 40.0));   // at full power
        check_jacobian(system, state(320.0, -10.0));  // out
    }
}

TEST_CASE("the time derivative follows the set point where the controller is free, and only there") {
    RateSystem<double> system(controlled_booth(Heater::Control::proportional_integral).network);
    system.set_segment(ramp(0));
    for (const std::vector<double>& y : {state(301.0, 1.0), state(290.0, 40.0), state(320.0, -10.0)}) {
        std::vector<double> dfdt(system.size());
        system.time_derivative(100.0, y, dfdt);
        const std::vector<double> high = rates_at(system, 101.0, y), low = rates_at(system, 99.0, y);
        for (std::size_t i = 0; i < system.size(); ++i) CHECK(std::abs(dfdt[i] - 0.5 * (high[i] - low[i])) <= 1e-9);
    }
}

TEST_CASE("a member's factors and shifts are those of a network with other numbers") {
    const Booth plain = controlled_booth(Heater::Control::proportional_integral);
    Member<double> member(plain.network);
    member.factor[plain.film] = 1.3;
    member.factor[plain.mass] = 0.8;
    member.factor[plain.exchange] = 0.7;
    member.factor[plain.distance] = 1.5;
    member.factor[plain.power] = 0.9;
    member.boundary_offset_k[1] = 3.0;
    member.boundary_gain[0] = 1.01;
    member.start_shift_k = 2.0;
    RateSystem<double> shifted(plain.network);
    shifted.set_segment(ramp(0));
    shifted.set_member(member);

    // The same numbers written out.
    Network other;
    other.add_account("burner");
    other.add_account("shell");
    const Place setpoint = other.add_boundary("set point");
    const Place outside = other.add_boundary("outside");
    const Place air = other.add_node("air", 20e3, 295.15), sensor = other.add_node("sensor", 1.0, 295.15);
    const Place skin = other.add_node("skin", 0.8 * 8e3, 295.15), lining = other.add_node("lining", 5e3, 295.15);
    other.add_film({.air = {air, 1.02, -5.9, kNoFactor}, .node = sensor, .conductance_w_per_k = 1.0 / 25.0});
    other.add_film({.air = {outside, 1.0, 0.0, kNoFactor}, .node = air, .conductance_w_per_k = 60.0});
    Convection roof = plain.network.convections().front();
    roof.air = {air, 1.15, -1.5 * 29.0, kNoFactor};
    roof.area_m2 *= 1.3;
    roof.factor = kNoFactor;
    other.add_convection(roof);
    GapConvection gap = plain.network.gap_convections().front();
    other.add_gap_convection(gap);
    other.add_radiation({.wall = {outside, 1.0, 0.0, kNoFactor}, .node = skin, .exchange_area_m2 = 0.7 * 1.8, .account = 1});
    Heater burner = plain.network.heaters().front();
    burner.largest_power_w *= 0.9;
    burner.factor = kNoFactor;
    other.add_heater(burner);
    static_cast<void>(setpoint);
    static_cast<void>(lining);
    RateSystem<double> expected(other);
    Segment moved = ramp(0);
    for (auto* boundary : {&moved.boundary_begin_k, &moved.boundary_end_k}) {
        boundary->at(0) *= 1.01;
        boundary->at(1) += 3.0;
    }
    expected.set_segment(moved);

    std::vector<double> start(shifted.size()), expected_start(expected.size());
    shifted.start(start);
    expected.start(expected_start);
    CHECK(start == expected_start);
    for (const std::vector<double>& y : {state(301.0, 1.0), state(290.0, 40.0)}) {
        const std::vector<double> one = rates_at(shifted, 100.0, y), two = rates_at(expected, 100.0, y);
        // Nodes and the integral; accounts are scaled by the plain network's heat capacity.
        for (const std::size_t i : {0U, 1U, 2U, 3U, 6U}) CHECK(std::abs(one[i] - two[i]) <= 1e-12);
    }
    check_jacobian(shifted, state(301.0, 1.0));
}

TEST_CASE("accounts may be left out without changing a temperature") {
    const Booth booth = controlled_booth(Heater::Control::proportional_integral);
    RateSystem<double> with(booth.network), without(booth.network, Accounts::leave_out);
    CHECK(without.size() + 2 == with.size());
    for (auto* system : {&with, &without}) system->set_segment(ramp(0));
    const std::vector<double> full = rates_at(with, 100.0, state(301.0, 1.0));
    const std::vector<double> short_rates = rates_at(without, 100.0, {316.0, 301.0, 303.7, 296.3, 1.0});
    for (const std::size_t i : {0U, 1U, 2U, 3U}) CHECK(short_rates[i] == full[i]);
    CHECK(short_rates[4] == full[6]);
}

TEST_CASE("an on-off heater switches at the moments of the closed form") {
    // First-order air: dT/dt = (P - G (T - 280)) / C. From T_a to T_b with the end temperature E = 280 + P/G or 280 K:
    // t = C/G ln((E - T_a) / (E - T_b)). Tolerance 1e-3 s: the moments are found to 1e-6 s on a dense output of 1e-6 K.
    const double capacity = 10e3, loss = 50.0, power = 3000.0, band = 4.0;
    const Network network = bare_air(capacity, loss, power, band, std::nullopt);
    const Samples samples = solved(network, {{0.0, 3000.0, {310.0, 280.0}, {310.0, 280.0}, {}, 0}},
                                   {.relative_tolerance = 1e-9, .absolute_tolerance_k = 1e-8});
    const auto time_between = [&](double end_k, double from_k, double to_k) {
        return capacity / loss * std::log((end_k - from_k) / (end_k - to_k));
    };
    double expected_s = 0.0;
    double from_k = 280.0;
    REQUIRE(samples.statistics.switches.size() > 10);
    for (std::size_t i = 0; i < samples.statistics.switches.size(); ++i) {
        const HeaterSwitch& one = samples.statistics.switches[i];
        const bool lights = i % 2 == 0;
        CHECK(one.kind == (lights ? HeaterSwitch::Kind::on : HeaterSwitch::Kind::off));
        if (i > 0) {
            const double to_k = lights ? 308.0 : 312.0;
            expected_s += time_between(lights ? 280.0 : 340.0, from_k, to_k);
            from_k = to_k;
        }
        CHECK(std::abs(one.time_s - expected_s) <= 1e-3);
    }
}

TEST_CASE("a high limit trips once, at its moment, and for good") {
    // Without loss the air rises by P/C: from 280 to 300 K in 20 C / P = 40 s. Tolerance 1e-5 s.
    const Network network = bare_air(10e3, 1e-9, 5000.0, 4.0, 300.0);
    const Samples samples = solved(network, {{0.0, 600.0, {310.0, 280.0}, {310.0, 280.0}, {}, 0}});
    REQUIRE(samples.statistics.switches.size() == 2);
    CHECK(samples.statistics.switches[1].kind == HeaterSwitch::Kind::tripped);
    CHECK(std::abs(samples.statistics.switches[1].time_s - 40.0) <= 1e-5);
    CHECK(std::abs(samples.node_k.back()[0] - 300.0) <= 1e-4);
}

TEST_CASE("a controller at rest follows a ramp from its first moment") {
    // At rest the demand stands right at nothing, which is a limit. Reference: Odeint's own stepper, which takes limits as kinks,
    // at 1e-7 K. Tolerance 0.01 K, what the product promises. A heater lit a quarter of a step late would leave the air behind.
    const Booth booth = controlled_booth(Heater::Control::proportional_integral);
    const std::vector<Segment> segments{{0.0, 1800.0, {293.15, 293.15}, {330.0, 293.15}, {}, 3}};
    const Samples ours = solved(booth.network, segments);
    const auto reference = support::solve_with_dormand_prince(booth.network, segments, 10.0, 1e-7);
    REQUIRE(ours.node_k.size() == reference.size());
    double apart_k = 0.0;
    for (std::size_t i = 0; i < ours.node_k.size(); ++i)
        for (std::size_t n = 0; n < 4; ++n) apart_k = std::max(apart_k, std::abs(ours.node_k[i][n] - reference[i][n]));
    CHECK(apart_k <= 0.01);
}

TEST_CASE("heat accounts of a thousand random controlled networks close, and no node leaves its surroundings") {
    // Random shells in a booth whose air is given or heated; numbers over the ranges of real ones. Closure: what is booked into
    // the nodes is what they store, to 1e-6 of the heat moved. Without a heater no node leaves the range of start and boundaries.
    std::mt19937_64 random(20260501);
    const auto between = [&](double low, double high) {
        return low + (high - low) * std::generate_canonical<double, 53>(random);
    };
    double worst_closure = 0.0, worst_outside_k = 0.0;
    for (int trial = 0; trial < 1000; ++trial) {
        Network network;
        const AccountIndex in = network.add_account("in");
        const Place air = network.add_boundary("air"), wall = network.add_boundary("wall");
        const int count = 1 + trial % 7;
        std::vector<Place> nodes;
        for (int i = 0; i < count; ++i) {
            nodes.push_back(network.add_node("n", between(1e2, 1e5), between(280.0, 300.0)));
            FilmModel film;
            film.lie = static_cast<FilmModel::Lie>(trial % 3);
            film.height_m = between(0.05, 3.0);
            film.area_over_perimeter_m = between(0.05, 1.0);
            film.forced_w_per_m2_k = between(0.0, 8.0);
            network.add_convection(
                {.air = {air}, .node = nodes.back(), .area_m2 = between(0.1, 20.0), .film = film, .account = in});
            network.add_radiation(
                {.wall = {wall}, .node = nodes.back(), .exchange_area_m2 = between(0.0, 10.0) + 1e-3, .account = in});
            if (i > 0) network.add_conduction({nodes[static_cast<std::size_t>(i - 1)], nodes.back(), between(1e-2, 50.0)});
        }
        if (count > 2) {
            GapModel gap;
            gap.width_m = between(0.005, 0.1);
            network.add_gap_convection({.outer = nodes[0], .inner = nodes[2], .area_m2 = between(0.1, 5.0), .gap = gap});
        }
        const double high_k = between(320.0, 350.0);
        const Samples samples = solved(network,
                                       {{0.0, 1200.0, {293.0, 293.0}, {high_k, high_k - 5.0}, {}, 0},
                                        {1200.0, 3000.0, {high_k, high_k - 5.0}, {high_k, high_k - 5.0}, {}, 0}},
                                       {.output_interval_s = 600.0});
        double stored_j = 0.0;
        for (std::size_t i = 0; i < network.node_count(); ++i)
            stored_j += network.nodes()[i].heat_capacity_j_per_k * (samples.node_k.back()[i] - network.nodes()[i].start_k);
        worst_closure = std::max(worst_closure, std::abs(samples.account_j.back()[0] - stored_j) / std::abs(stored_j));
        for (const auto& row : samples.node_k)
            for (const double k : row) worst_outside_k = std::max({worst_outside_k, k - high_k, 280.0 - k});
    }
    CHECK(worst_closure <= 1e-6);
    CHECK(worst_outside_k <= 1e-3);
}

TEST_CASE("doubling every mass and conductance of a controlled network changes no temperature") {
    // Doubled in every extensive number, burner and gain included. Tolerance 1e-6 K: rounding alone.
    const auto booth = [](double size) {
        Network network;
        const Place setpoint = network.add_boundary("set point"), outside = network.add_boundary("outside");
        const Place air = network.add_node("air", 20e3 * size, 293.0), skin = network.add_node("skin", 8e3 * size, 293.0);
        network.add_film({.air = {outside}, .node = air, .conductance_w_per_k = 60.0 * size});
        network.add_convection({.air = {air}, .node = skin, .area_m2 = 2.0 * size, .film = {}});
        Heater burner = heater(Heater::Control::proportional_integral);
        burner.node = burner.sensor = burner.limit = air;
        burner.setpoint = setpoint;
        burner.gain_w_per_k *= size;
        burner.largest_power_w *= size;
        network.add_heater(burner);
        return solved(network, {{0.0, 1800.0, {293.0, 290.0}, {330.0, 290.0}, {}, 0}});
    };
    const Samples one = booth(1.0), two = booth(2.0);
    REQUIRE(one.node_k.size() == two.node_k.size());
    for (std::size_t i = 0; i < one.node_k.size(); ++i)
        for (std::size_t n = 0; n < 2; ++n) CHECK(std::abs(one.node_k[i][n] - two.node_k[i][n]) <= 1e-6);
}
