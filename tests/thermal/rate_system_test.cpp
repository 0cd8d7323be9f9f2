// SPDX-License-Identifier: Apache-2.0
#include "rate_system.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "bakewright/base/error.hpp"
#include "bakewright/thermal/solve.hpp"
#include "steppers/sparsity_pattern.hpp"
#include "support/dormand_prince.hpp"

using namespace bakewright;
using namespace bakewright::thermal;

static_assert(DifferentiableSystem<RateSystem<double>, double>);

namespace {

/// Every kind of edge between every kind of place, booked and not. Invented numbers.
Network every_kind_of_edge() {
    Network network;
    const AccountIndex convection = network.add_account("convection");
    const AccountIndex radiation = network.add_account("radiation");
    const AccountIndex other = network.add_account("other");
    const Place skin = network.add_node("skin", 3.7e3, 293.15);
    const Place frame = network.add_node("frame", 40e3, 288.15);
    const Place cavity = network.add_node("cavity", 200.0, 290.0);
    const Place air = network.add_boundary("air");
    const Place wall = network.add_boundary("wall");
    network.add_conduction({skin, frame, 7.0});
    network.add_conduction({wall, frame, 1.5, other});
    network.add_conduction({frame, air, 0.5, other});
    network.add_film({.air = {air, 1.1, -29.0},
                      .node = skin,
                      .conductance_w_per_k = 5.0,
                      .mode_factor = {1.0, 0.4, 2.0, 3.0},
                      .account = convection});
    network.add_film(
        {.air = {cavity, 0.9, 30.0}, .node = frame, .conductance_w_per_k = 3.0, .mode_factor = {1.0, 0.5, 1.0, 1.0}});
    network.add_film({.air = {cavity}, .node = skin, .conductance_w_per_k = 2.0, .account = other});
    network.add_radiation({.wall = {wall, 0.95, 10.0}, .node = skin, .exchange_area_m2 = 0.9, .account = radiation});
    network.add_radiation({.wall = {skin, 1.05, -10.0}, .node = frame, .exchange_area_m2 = 0.3});
    network.add_source({frame, other});
    return network;
}

Segment moving(std::size_t mode) { return {100.0, 400.0, {300.0, 310.0}, {360.0, 325.0}, {55.0}, mode}; }

constexpr double kTimeS = 220.0;
const std::vector<double> kState{315.0, 297.0, 333.0, 1.0, 2.0, 3.0};

std::vector<double> rates_at(const RateSystem<double>& system, double time_s, const std::vector<double>& y) {
    std::vector<double> dydt(system.size());
    system.rates(time_s, y, dydt);
    return dydt;
}

}  // namespace

// Central differences over 2 x 0.01 K (or 2 x 1 s): their error, h^2/6 times the third derivative, is below 1e-9 of the largest
// entry for a fourth power of temperature near 300 K; rounding of rates near 0.1 K/s adds about 1e-14. Tolerance 1e-9 of entries
// up to 0.05 1/s.
TEST_CASE("the Jacobian of a network with every kind of edge is that of differences in every mode") {
    RateSystem<double> system(every_kind_of_edge());
    for (const std::size_t mode : {0U, 1U, 2U}) {
        system.set_segment(moving(mode));
        const SparsityPattern& pattern = system.pattern();
        std::vector<double> values(pattern.entry_count());
        system.jacobian(kTimeS, kState, values);
        std::vector<std::vector<double>> dense(system.size(), std::vector<double>(system.size(), 0.0));
        for (std::size_t row = 0; row < system.size(); ++row)
            for (std::uint32_t e = pattern.row_begin()[row]; e < pattern.row_begin()[row + 1]; ++e)
                dense[row][pattern.columns()[e]] = values[e];
        for (std::size_t column = 0; column < system.size(); ++column) {
            std::vector<double> above = kState, below = kState;
            above[column] += 0.01;
            below[column] -= 0.01;
            const std::vector<double> high = rates_at(system, kTimeS, above), low = rates_at(system, kTimeS, below);
            for (std::size_t row = 0; row < system.size(); ++row) {
                CAPTURE(row);
                CAPTURE(column);
                CHECK(std::abs(dense[row][column] - (high[row] - low[row]) / 0.02) <= 1e-9);
            }
        }
    }
}

TEST_CASE("the time derivative of the rates is that of differences") {
    RateSystem<double> system(every_kind_of_edge());
    system.set_segment(moving(1));
    std::vector<double> dfdt(system.size());
    system.time_derivative(kTimeS, kState, dfdt);
    const std::vector<double> high = rates_at(system, kTimeS + 1.0, kState), low = rates_at(system, kTimeS - 1.0, kState);
    for (std::size_t i = 0; i < system.size(); ++i) CHECK(std::abs(dfdt[i] - 0.5 * (high[i] - low[i])) <= 1e-9);
    CHECK(std::abs(dfdt[0]) > 1e-5);
}

TEST_CASE("a solve agrees with an explicit stepper of another maker and counts its work") {
    // Tolerance 1e-3 K: two different sequences of steps, each within 1e-4 K a step.
    const Network network = every_kind_of_edge();
    const std::vector<Segment> segments{{0, 900, {293.15, 293.15}, {338.15, 330.0}, {0.0}, 0},
                                        {900, 3600, {338.15, 330.0}, {338.15, 333.0}, {55.0}, 1}};
    std::vector<double> implicit, explicit_;
    SolveOptions options;
    options.absolute_tolerance_k = 1e-4;
    const SolveStatistics work =
        solve(network, segments, options, [&](double, std::span<const double> node_k, std::span<const double>) {
            implicit.insert(implicit.end(), node_k.begin(), node_k.end());
        });
    for (const std::vector<double>& node_k : support::solve_with_dormand_prince(network, segments, 10.0, 1e-4))
        explicit_.insert(explicit_.end(), node_k.begin(), node_k.end());
    REQUIRE(implicit.size() == explicit_.size());
    double apart_k = 0.0;
    for (std::size_t i = 0; i < implicit.size(); ++i) apart_k = std::max(apart_k, std::abs(implicit[i] - explicit_[i]));
    CHECK(apart_k <= 1e-3);
    CHECK(work.rate_evaluations == 6 * work.accepted_steps + 5 * work.rejected_steps);
}

TEST_CASE("the ceiling on steps holds for the whole run, and only nodes are named") {
    const Network network = every_kind_of_edge();
    std::vector<Segment> segments;
    for (int k = 0; k < 40; ++k) segments.push_back({k * 90.0, k * 90.0 + 90.0, {300.0, 300.0}, {330.0, 330.0}, {0.0}, 0});
    SolveOptions options;
    options.largest_step_count = 30;
    try {
        solve(network, segments, options, [](double, std::span<const double>, std::span<const double>) {});
        FAIL("more steps than allowed must stop the run");
    } catch (const SolveError& error) {
        const std::string text = error.what();
        CHECK(text.find("30 steps did not reach the end") != std::string::npos);
        CHECK(text.find("cavity") != std::string::npos);
        CHECK(text.find("account") == std::string::npos);
    }
}
