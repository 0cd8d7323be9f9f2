// SPDX-License-Identifier: Apache-2.0
#include "bakewright/thermal/view_factors.hpp"

#include <cmath>
#include <numbers>

namespace bakewright::thermal {

using std::numbers::pi;

double view_factor_of_opposite_rectangles(double length_m, double width_m, double distance_m) noexcept {
    const double x = length_m / distance_m, y = width_m / distance_m;
    const double root_x = std::sqrt(1.0 + x * x), root_y = std::sqrt(1.0 + y * y);
    const double sum = std::log(root_x * root_y / std::sqrt(1.0 + x * x + y * y)) + x * root_y * std::atan(x / root_y) +
                       y * root_x * std::atan(y / root_x) - x * std::atan(x) - y * std::atan(y);
    return 2.0 / (pi * x * y) * sum;
}

double view_factor_of_rectangles_on_an_edge(double edge_m, double from_m, double to_m) noexcept {
    const double w = from_m / edge_m, h = to_m / edge_m;
    const double w2 = w * w, h2 = h * h, both = w2 + h2;
    const double logs = std::log((1.0 + w2) * (1.0 + h2) / (1.0 + both)) +
                        w2 * std::log(w2 * (1.0 + both) / ((1.0 + w2) * both)) +
                        h2 * std::log(h2 * (1.0 + both) / ((1.0 + h2) * both));
    const double diagonal = std::sqrt(both);
    return (w * std::atan(1.0 / w) + h * std::atan(1.0 / h) - diagonal * std::atan(1.0 / diagonal) + 0.25 * logs) / (pi * w);
}

double view_factor_to_parallel_corner(double length_m, double width_m, double distance_m) noexcept {
    const double a = length_m / distance_m, b = width_m / distance_m;
    const double root_a = std::sqrt(1.0 + a * a), root_b = std::sqrt(1.0 + b * b);
    return (a / root_a * std::atan(b / root_a) + b / root_b * std::atan(a / root_b)) / (2.0 * pi);
}

double view_factor_to_perpendicular_corner(double depth_m, double breadth_m, double height_m) noexcept {
    const double far_m = std::hypot(depth_m, height_m);
    return (std::atan(breadth_m / height_m) - height_m / far_m * std::atan(breadth_m / far_m)) / (2.0 * pi);
}

}  // namespace bakewright::thermal
