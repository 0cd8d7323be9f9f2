// SPDX-License-Identifier: Apache-2.0
#include "reference/plane_wall.hpp"

#include <boost/math/special_functions/bessel.hpp>
#include <boost/math/tools/roots.hpp>
#include <cmath>
#include <cstdint>
#include <numbers>

namespace bakewright::reference {
namespace {

template <class Function>
double root_between(Function function, double low, double high) {
    std::uintmax_t iterations = 200;
    const auto bracket =
        boost::math::tools::toms748_solve(function, low, high, boost::math::tools::eps_tolerance<double>(52), iterations);
    return 0.5 * (bracket.first + bracket.second);
}

}  // namespace

double plane_wall_root(double biot) {
    return root_between([&](double z) { return z * std::sin(z) - biot * std::cos(z); }, 1e-12, 0.5 * std::numbers::pi);
}

double plane_wall_factor(double root) { return 4.0 * std::sin(root) / (2.0 * root + std::sin(2.0 * root)); }

double cylinder_root(double biot) {
    using boost::math::cyl_bessel_j;
    constexpr double first_zero_of_j0 = 2.404825557695773;
    return root_between([&](double z) { return z * cyl_bessel_j(1, z) - biot * cyl_bessel_j(0, z); }, 1e-12, first_zero_of_j0);
}

double cylinder_factor(double root) {
    using boost::math::cyl_bessel_j;
    const double j0 = cyl_bessel_j(0, root);
    const double j1 = cyl_bessel_j(1, root);
    return 2.0 * j1 / (root * (j0 * j0 + j1 * j1));
}

WallSeries::WallSeries(const Wall& wall, int terms) : wall_(wall) {
    const double length = wall.thickness_m;
    const double diffusivity = wall.conductivity_w_per_m_k / wall.heat_capacity_j_per_m3_k;
    outer_biot_ = wall.outer_w_per_m2_k * length / wall.conductivity_w_per_m_k;
    const double inner_biot = wall.inner_w_per_m2_k * length / wall.conductivity_w_per_m_k;
    const auto condition = [&](double z) {
        return (z * z - outer_biot_ * inner_biot) * std::sin(z) - z * (outer_biot_ + inner_biot) * std::cos(z);
    };
    for (int n = 0; n < terms; ++n) {
        const double low = n * std::numbers::pi + 1e-9;
        const double z = root_between(condition, low, (n + 1) * std::numbers::pi - 1e-12);
        // X = cos(z x) + b sin(z x) on 0 to 1, b = Bi_o / z: integrals of X and of X^2.
        const double b = outer_biot_ / z;
        const double integral = (std::sin(z) + b * (1.0 - std::cos(z))) / z;
        const double sine = std::sin(2.0 * z) / (4.0 * z);
        const double square = 0.5 + sine + b * b * (0.5 - sine) + b * (1.0 - std::cos(2.0 * z)) / (2.0 * z);
        modes_.push_back({z, integral / square, integral, z * z * diffusivity / (length * length)});
    }
}

double WallSeries::shape(const Mode& mode, double depth_m) const {
    const double angle = mode.root * depth_m / wall_.thickness_m;
    return std::cos(angle) + outer_biot_ / mode.root * std::sin(angle);
}

double WallSeries::step_share_left(double depth_m, double time_s) const {
    double sum = 0.0;
    for (const Mode& mode : modes_) sum += mode.factor * shape(mode, depth_m) * std::exp(-mode.rate_per_s * time_s);
    return sum;
}

double WallSeries::mean_step_share_left(double time_s) const {
    double sum = 0.0;
    for (const Mode& mode : modes_) sum += mode.factor * mode.mean * std::exp(-mode.rate_per_s * time_s);
    return sum;
}

// Duhamel: the rise is the rate times the integral of (1 - share left).
double WallSeries::ramp_rise_k(double rate_k_per_s, double depth_m, double time_s) const {
    if (time_s <= 0.0) return 0.0;
    double lag_s = 0.0;
    for (const Mode& mode : modes_)
        lag_s -= mode.factor * shape(mode, depth_m) * std::expm1(-mode.rate_per_s * time_s) / mode.rate_per_s;
    return rate_k_per_s * (time_s - lag_s);
}

double WallSeries::ramp_and_hold_rise_k(double rate_k_per_s, double stop_s, double depth_m, double time_s) const {
    return ramp_rise_k(rate_k_per_s, depth_m, time_s) - ramp_rise_k(rate_k_per_s, depth_m, time_s - stop_s);
}

double half_space_share(double conductivity_w_per_m_k, double heat_capacity_j_per_m3_k, double film_w_per_m2_k, double depth_m,
                        double time_s) {
    const double diffusivity = conductivity_w_per_m_k / heat_capacity_j_per_m3_k;
    const double spread_m = std::sqrt(diffusivity * time_s);
    const double film = film_w_per_m2_k / conductivity_w_per_m_k;
    const double near = depth_m / (2.0 * spread_m);
    const double growth = film * depth_m + film * film * diffusivity * time_s;
    return std::erfc(near) - std::exp(growth) * std::erfc(near + film * spread_m);
}

double driven_bar(double diffusivity_m2_per_s, double length_m, double amplitude, double omega_per_s, double x_m, double time_s,
                  int terms) {
    double value = amplitude * std::sin(omega_per_s * time_s) * x_m / length_m;
    for (int n = 1; n <= terms; ++n) {
        const double wave = n * std::numbers::pi / length_m;
        const double decay = diffusivity_m2_per_s * wave * wave;
        const double weight = (n % 2 == 1 ? 2.0 : -2.0) / (n * std::numbers::pi);  // of sin(wave x) in x / L
        const double forced = decay * std::cos(omega_per_s * time_s) + omega_per_s * std::sin(omega_per_s * time_s) -
                              decay * std::exp(-decay * time_s);
        value -= weight * amplitude * omega_per_s * forced / (decay * decay + omega_per_s * omega_per_s) * std::sin(wave * x_m);
    }
    return value;
}

}  // namespace bakewright::reference
