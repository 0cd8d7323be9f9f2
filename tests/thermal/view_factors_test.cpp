// SPDX-License-Identifier: Apache-2.0
#include "bakewright/thermal/view_factors.hpp"

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <numbers>

using namespace bakewright::thermal;

TEST_CASE("view factors in a cube are the published ones") {
    // Source: Howell's catalogue, C-11 and C-14 for equal edges: 0.1998 and 0.2000; printed with four digits in many handbooks
    // (the two faces' factors of a cube, IDBL figures 13.4 and 13.5 read as 0.2). Tolerance: half the last printed digit.
    CHECK(std::abs(view_factor_of_opposite_rectangles(1.0, 1.0, 1.0) - 0.1998) <= 5e-5);
    CHECK(std::abs(view_factor_of_rectangles_on_an_edge(1.0, 1.0, 1.0) - 0.2000) <= 5e-5);
    // Source: the infinite limits. Long plates at right angles, Howell C-3: (1 + h - sqrt(1 + h^2)) / 2, 0.2929 for equal widths;
    // long opposite plates, Howell C-1: sqrt(1 + d^2) - d, 0.4142 for a distance of their width. 1,000 times as long as wide the
    // ends count for less than 1e-3.
    CHECK(std::abs(view_factor_of_rectangles_on_an_edge(1000.0, 1.0, 1.0) - 0.2929) <= 1e-3);
    CHECK(std::abs(view_factor_of_opposite_rectangles(1000.0, 1.0, 1.0) - 0.4142) <= 1e-3);
}

TEST_CASE("what leaves a face of a box arrives on the other five") {
    // The booth of the demo, 15 x 5 x 5 m, and others that are flat or tall. Closed formulas: 1e-12.
    for (const auto& [length, width, height] :
         {std::array{15.0, 5.0, 5.0}, std::array{3.0, 2.0, 9.0}, std::array{40.0, 6.0, 2.5}}) {
        const double up = view_factor_of_opposite_rectangles(length, width, height);
        const double sides = view_factor_of_rectangles_on_an_edge(length, width, height);
        const double ends = view_factor_of_rectangles_on_an_edge(width, length, height);
        CHECK(std::abs(up + 2.0 * sides + 2.0 * ends - 1.0) <= 1e-12);
        // Reciprocity: areas times factors are alike both ways.
        const double back = view_factor_of_rectangles_on_an_edge(length, height, width);
        CHECK(std::abs(length * width * sides - length * height * back) <= 1e-11);
    }
}

namespace {

/// Sums cos cos / (pi r^2) over a rectangle at z = -height before an element at the origin that looks along x, or down.
double summed(double depth_m, double breadth_m, double height_m, bool looks_down) {
    constexpr int kCells = 800;
    double sum = 0.0;
    for (int i = 0; i < kCells; ++i)
        for (int j = 0; j < kCells; ++j) {
            const double x = (i + 0.5) * depth_m / kCells, y = (j + 0.5) * breadth_m / kCells;
            const double r2 = x * x + y * y + height_m * height_m;
            sum += (looks_down ? height_m : x) * height_m / (std::numbers::pi * r2 * r2);
        }
    return sum * depth_m * breadth_m / (kCells * kCells);
}

}  // namespace

TEST_CASE("an element's view factors are the sum of what it sees, patch by patch") {
    // Computed: midpoints of 800 x 800 patches, whose own error is under 1e-5 here.
    for (const auto& [depth, breadth, height] :
         {std::array{1.25, 7.5, 0.5}, std::array{3.0, 1.0, 2.0}, std::array{0.4, 0.4, 0.4}}) {
        CHECK(std::abs(view_factor_to_perpendicular_corner(depth, breadth, height) - summed(depth, breadth, height, false)) <=
              2e-5);
        CHECK(std::abs(view_factor_to_parallel_corner(depth, breadth, height) - summed(depth, breadth, height, true)) <= 2e-5);
    }
    // Over an endless floor a face sees half of it standing up and all of it lying down; an element sees four corners at most.
    CHECK(std::abs(2.0 * view_factor_to_perpendicular_corner(1e6, 1e6, 1.0) - 0.5) <= 1e-5);
    CHECK(std::abs(4.0 * view_factor_to_parallel_corner(1e6, 1e6, 1.0) - 1.0) <= 1e-5);
}
