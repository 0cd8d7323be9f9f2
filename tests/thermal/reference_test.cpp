// SPDX-License-Identifier: Apache-2.0
// The closed forms that other tests lean on, against printed answers and each other.

#include <doctest/doctest.h>

#include <cmath>
#include <initializer_list>
#include <numbers>

#include "bakewright/base/units.hpp"
#include "reference/lumped.hpp"
#include "reference/plane_wall.hpp"

using namespace bakewright;
using namespace bakewright::reference;

TEST_CASE("roots and factors of the one-term solutions are those of the printed table") {
    // Source:    Incropera et al., 6th ed., table 5.1 (Cengel, table 4-2), rows Bi 0.01 to 100.
    // Tolerance: 6e-5, half a unit of the last printed digit and a little.
    struct Row {
        double biot, wall_root, wall_factor, cylinder_root, cylinder_factor;
    };
    const Row rows[] = {
        {0.01, 0.0998, 1.0017, 0.1412, 1.0025}, {0.1, 0.3111, 1.0161, 0.4417, 1.0246},  {0.2, 0.4328, 1.0311, 0.6170, 1.0483},
        {0.5, 0.6533, 1.0701, 0.9408, 1.1143},  {1.0, 0.8603, 1.1191, 1.2558, 1.2071},  {2.0, 1.0769, 1.1785, 1.5994, 1.3384},
        {5.0, 1.3138, 1.2402, 1.9898, 1.5029},  {10.0, 1.4289, 1.2620, 2.1795, 1.5677}, {100.0, 1.5552, 1.2731, 2.3809, 1.6015}};
    for (const Row& row : rows) {
        CAPTURE(row.biot);
        CHECK(std::abs(plane_wall_root(row.biot) - row.wall_root) <= 6e-5);
        CHECK(std::abs(plane_wall_factor(plane_wall_root(row.biot)) - row.wall_factor) <= 6e-5);
        CHECK(std::abs(cylinder_root(row.biot) - row.cylinder_root) <= 6e-5);
        CHECK(std::abs(cylinder_factor(cylinder_root(row.biot)) - row.cylinder_factor) <= 6e-5);
    }
}

TEST_CASE("a steel pipe wall heated from inside by oil warms as the series says") {
    // Source:    Incropera et al., 6th ed., example 5.4: AISI 1010, 40 mm, h 500, -20 degC into oil of 60 degC, 8 min.
    // Printed 42.9 and
    //            45.2 degC, -7400 W/m2, -2.73e7 J/m from a table read by eye; the series of 60 terms gives the values below.
    // Tolerance: half a unit of the last digit computed independently; the printed values within 0.2 K, 1.2 % and 0.3 %.
    const double capacity = 7832.0 * 434.0;
    const WallSeries wall({0.040, 63.9, 63.9 / 18.8e-6, 500.0, 0.0});
    const auto at_c = [&](double depth_m) { return 60.0 - 80.0 * wall.step_share_left(depth_m, 480.0); };
    CHECK(std::abs(at_c(0.040) - 43.0175) <= 6e-4);
    CHECK(std::abs(at_c(0.0) - 45.3635) <= 6e-4);
    CHECK(std::abs(at_c(0.040) - 42.9) <= 0.2);
    CHECK(std::abs(at_c(0.0) - 45.2) <= 0.2);
    const double flux_w_per_m2 = 500.0 * (at_c(0.0) - 60.0);
    CHECK(std::abs(flux_w_per_m2 + 7318.2) <= 0.5);
    const double heat_j_per_m = -capacity * 0.040 * std::numbers::pi * 80.0 * (1.0 - wall.mean_step_share_left(480.0));
    CHECK(std::abs(heat_j_per_m + 2.7255e7) <= 0.003 * 2.7255e7);
}

TEST_CASE("a brass plate in an oven comes to 279.6 degrees") {
    // Source:    Cengel, example 4-4: 4 cm, h 120 on both sides, 20 degC into 500 degC, 7 min, alpha 33.9e-6. Printed 282
    // (charts). Tolerance: 0.005 degC on the exact value 279.58; lumped gives 279.40, which the book notes as 279.
    const WallSeries plate({0.04, 110.0, 110.0 / 33.9e-6, 120.0, 120.0});
    CHECK(std::abs(500.0 - 480.0 * plate.step_share_left(0.0, 420.0) - 279.58) <= 0.005);
    const double lumped_c = lumped_exponential_k(20.0, 500.0, 8530.0 * 380.0 * 0.02 / 120.0, 420.0);
    CHECK(std::abs(lumped_c - 279.40) <= 0.005);
}

TEST_CASE("a slab heated alike on both faces is two insulated halves, and unequal faces lie between") {
    const WallSeries whole({0.02, 0.25, 2e6, 15.0, 15.0});
    const WallSeries half({0.01, 0.25, 2e6, 15.0, 0.0});
    const WallSeries lopsided({0.02, 0.25, 2e6, 15.0, 5.0});
    for (const double time_s : {60.0, 600.0, 3600.0}) {
        CHECK(std::abs(whole.step_share_left(0.0, time_s) - half.step_share_left(0.0, time_s)) <= 1e-10);
        CHECK(std::abs(whole.step_share_left(0.02, time_s) - half.step_share_left(0.0, time_s)) <= 1e-10);
        CHECK(std::abs(whole.ramp_rise_k(0.05, 0.01, time_s) - half.ramp_rise_k(0.05, 0.01, time_s)) <= 1e-6);
        CHECK(lopsided.step_share_left(0.02, time_s) > whole.step_share_left(0.02, time_s));
    }
}

TEST_CASE("a thick wall begins as a half space") {
    // Both are exact; the wall's far face is not felt yet: erfc(L / (2 sqrt(alpha t))) = erfc(4.5) = 2e-10.
    const WallSeries wall({0.1, 0.25, 2e6, 15.0, 0.0}, 200);
    const double time_s = 1000.0;
    for (const double depth_m : {0.0, 0.005, 0.01, 0.02})
        CHECK(std::abs(1.0 - wall.step_share_left(depth_m, time_s) - half_space_share(0.25, 2e6, 15.0, depth_m, time_s)) <= 1e-5);
}

TEST_CASE("the driven bar meets the benchmark's target") {
    // Source:    NAFEMS P18 test T3: 0.1 m, k 35, c 440.5, rho 7200, 100 sin(pi t/40) on one end; 36.60 degC at 0.08 m after 32
    // s. Tolerance: half a unit of the printed digit; 5e-5 on the series value 36.6031 computed independently.
    const double value = driven_bar(35.0 / (440.5 * 7200.0), 0.1, 100.0, std::numbers::pi / 40.0, 0.08, 32.0);
    CHECK(std::abs(value - 36.60) <= 0.005);
    CHECK(std::abs(value - 36.6031) <= 6e-5);
}

TEST_CASE("closed forms for one and two bodies give the values computed independently") {
    // Source: Bejan & Kraus, Heat Transfer Handbook, ch. 3, eqs. (3.283) to (3.288); inputs ours, answers by a separate
    // integration (order 8, tolerance 1e-11). Tolerance: the last digit given.
    const double scale_s = 7222.0 / (4.0 * kStefanBoltzmann * std::pow(773.15, 3));
    CHECK(std::abs(radiating_time_s(293.15, 773.15, 373.15, scale_s) - 29.567120) <= 1e-6);
    CHECK(std::abs(radiating_time_s(293.15, 773.15, 473.15, scale_s) - 68.862737) <= 1e-6);
    CHECK(std::abs(radiating_time_s(293.15, 773.15, 673.15, scale_s) - 177.843559) <= 1e-6);
    CHECK(std::abs(power_law_difference_k(150.0, 0.25, 7222.0 / 8.0, 600.0) - 81.107357) <= 1e-6);
    const auto [first_c, second_c] = two_bodies_k(5000.0, 12000.0, 20.0, 180.0, 20.0, 200.0);
    CHECK(std::abs(first_c - 103.421169) <= 1e-6);
    CHECK(std::abs(second_c - 51.907846) <= 1e-6);
    CHECK(std::abs(5000.0 * first_c + 12000.0 * second_c - 1140000.0) <= 1e-6);
}

TEST_CASE("the thermocouple junction without radiation follows its time constant") {
    // Source: Incropera et al., 6th ed., example 5.1: diameter for 1 s, time from 25 to 199 degC in gas of 200 degC (5.2 s
    // printed).
    const double diameter_m = 6.0 * 400.0 * 1.0 / (8500.0 * 400.0);
    CHECK(std::abs(diameter_m - 7.06e-4) <= 0.005e-4);
    CHECK(std::abs(lumped_exponential_time_s(25.0, 200.0, 1.0, 199.0) - 5.1648) <= 5e-5);
}

TEST_CASE("a skin with a frame behind it satisfies its own equations") {
    const SkinAndFrame system{4000.0, 20000.0, 30.0, 8.0};
    CHECK(std::abs(skin_and_frame_k(system, 340.0, 293.0, 290.0, 0.0).first - 293.0) <= 1e-9);
    CHECK(std::abs(skin_and_frame_k(system, 340.0, 293.0, 290.0, 0.0).second - 290.0) <= 1e-9);
    for (const double time_s : {10.0, 300.0, 3000.0}) {
        const double step_s = 1e-2;
        const auto before = skin_and_frame_k(system, 340.0, 293.0, 290.0, time_s - step_s);
        const auto now = skin_and_frame_k(system, 340.0, 293.0, 290.0, time_s);
        const auto after = skin_and_frame_k(system, 340.0, 293.0, 290.0, time_s + step_s);
        const double skin_w = 30.0 * (340.0 - now.first) + 8.0 * (now.second - now.first);
        CHECK(std::abs((after.first - before.first) / (2 * step_s) - skin_w / 4000.0) <= 1e-8);
        CHECK(std::abs((after.second - before.second) / (2 * step_s) - 8.0 * (now.first - now.second) / 20000.0) <= 1e-8);
    }
    // Without the frame it is the lone exponential.
    const double lone = skin_and_frame_k({4000.0, 20000.0, 30.0, 1e-12}, 340.0, 293.0, 290.0, 100.0).first;
    CHECK(std::abs(lone - lumped_exponential_k(293.0, 340.0, 4000.0 / 30.0, 100.0)) <= 1e-9);
}
