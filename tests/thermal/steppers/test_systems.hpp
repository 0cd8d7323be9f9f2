// SPDX-License-Identifier: Apache-2.0
#pragma once

// Small systems for the tests of the steppers: equations with known solutions, and a network of resistances and capacities.

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "steppers/lanes.hpp"
#include "steppers/sparsity_pattern.hpp"

namespace bakewright::thermal::test {

inline SparsityPattern dense_pattern(std::uint32_t size) {
    std::vector<std::pair<std::uint32_t, std::uint32_t>> entries;
    for (std::uint32_t i = 0; i < size; ++i)
        for (std::uint32_t j = 0; j < size; ++j) entries.emplace_back(i, j);
    return {size, entries};
}

/// One or more equations given as functions; the Jacobian is dense, row by row.
struct FunctionSystem {
    using Vector = std::span<const double>;
    using Out = std::span<double>;
    SparsityPattern shape;
    std::function<void(double, Vector, Out)> f, dfdy, dfdt;

    [[nodiscard]] std::size_t size() const { return shape.size(); }
    [[nodiscard]] const SparsityPattern& pattern() const { return shape; }
    void rates(double t, Vector y, Out out) const { f(t, y, out); }
    void jacobian(double t, Vector y, Out out) const { dfdy(t, y, out); }
    void time_derivative(double t, Vector y, Out out) const {
        if (dfdt)
            dfdt(t, y, out);
        else
            std::fill(out.begin(), out.end(), 0.0);
    }
    [[nodiscard]] std::string name(std::size_t index) const { return "part " + std::to_string(index); }
};

/// Kaps's problem: y1' = -(1/eps + 2) y1 + y2^2/eps, y2' = y1 - y2 - y2^2; from (1, 1) the solution is (exp(-2t), exp(-t)).
/// Not linear, and stiff as 1/eps. Source: Hairer & Wanner, Solving Ordinary Differential Equations II, 2nd ed., section VI.
inline FunctionSystem kaps(double eps) {
    return {dense_pattern(2),
            [eps](double, auto y, auto f) {
                f[0] = -(1.0 / eps + 2.0) * y[0] + y[1] * y[1] / eps;
                f[1] = y[0] - y[1] - y[1] * y[1];
            },
            [eps](double, auto y, auto j) {
                j[0] = -(1.0 / eps + 2.0);
                j[1] = 2.0 * y[1] / eps;
                j[2] = 1.0;
                j[3] = -1.0 - 2.0 * y[1];
            },
            nullptr};
}

/// y' = -2 t y^2 with y(0) = 1: y = 1/(1 + t^2). The right-hand side names the time.
inline FunctionSystem timed() {
    return {dense_pattern(1), [](double t, auto y, auto f) { f[0] = -2.0 * t * y[0] * y[0]; },
            [](double t, auto y, auto j) { j[0] = -4.0 * t * y[0]; }, [](double, auto y, auto d) { d[0] = -2.0 * y[0] * y[0]; }};
}

/// Prothero and Robinson's problem (Math. Comp. 28 (1974) 145): y' = -rate (y - g(t)) + g'(t), g = sin(t + 1); y = g where it
/// starts there. A thin skin driven by moving air looks like this.
inline FunctionSystem prothero_robinson(double rate) {
    return {dense_pattern(1), [rate](double t, auto y, auto f) { f[0] = -rate * (y[0] - std::sin(t + 1.0)) + std::cos(t + 1.0); },
            [rate](double, auto, auto j) { j[0] = -rate; },
            [rate](double t, auto, auto d) { d[0] = rate * std::cos(t + 1.0) - std::sin(t + 1.0); }};
}

/// A chain of bodies in a booth whose air (the last one) all touch: conduction along the chain, films to the air, radiation to
/// walls at a temperature that moves in a straight line. Invented numbers. Real may be a pack: conductances scale lane by lane.
template <class Real>
class BoothChain {
public:
    /// @param stiffness  the first body's capacity is this much smaller than the rest
    explicit BoothChain(std::uint32_t bodies, double stiffness = 1.0) : bodies_(bodies), film_scale_(bodies, Real{1.0}) {
        std::vector<std::pair<std::uint32_t, std::uint32_t>> entries;
        for (std::uint32_t i = 0; i < bodies; ++i) {
            entries.emplace_back(i, bodies);
            if (i > 0) entries.emplace_back(i - 1, i);
            capacity_j_per_k_.push_back(4000.0 + 500.0 * (i % 5));
        }
        capacity_j_per_k_[0] /= stiffness;
        capacity_j_per_k_.push_back(20000.0 + 1000.0 * bodies);
        pattern_ = SparsityPattern(bodies + 1, entries);
    }
    void scale_film(std::size_t body, const Real& factor) { film_scale_[body] = factor; }

    [[nodiscard]] std::size_t size() const { return bodies_ + 1; }
    [[nodiscard]] const SparsityPattern& pattern() const { return pattern_; }
    [[nodiscard]] std::vector<Real> start() const { return std::vector<Real>(size(), Real{293.15}); }

    void rates(double time_s, std::span<const Real> y, std::span<Real> f) const {
        const double wall_k = 300.0 + wall_slope_k_per_s * time_s;
        f[bodies_] = Real{heater_w};
        for (std::uint32_t i = 0; i < bodies_; ++i) {
            const Real film_w = film_scale_[i] * kFilm * (y[bodies_] - y[i]);
            f[i] = film_w + kRadiation * (wall_k * wall_k * wall_k * wall_k - y[i] * y[i] * y[i] * y[i]);
            f[bodies_] -= film_w;
        }
        for (std::uint32_t i = 1; i < bodies_; ++i) {
            const Real link_w = kLink * (y[i - 1] - y[i]);
            f[i] += link_w;
            f[i - 1] -= link_w;
        }
        for (std::size_t i = 0; i < size(); ++i) f[i] = f[i] * (1.0 / capacity_j_per_k_[i]);
    }
    void jacobian(double, std::span<const Real> y, std::span<Real> j) const {
        for (Real& value : j) value = Real{};
        const auto add = [&](std::size_t row, std::size_t column, const Real& w_per_k) {
            j[pattern_.position(row, column)] += w_per_k * (1.0 / capacity_j_per_k_[row]);
        };
        const auto join = [&](std::size_t a, std::size_t b, const Real& w_per_k) {
            add(a, a, -w_per_k);
            add(a, b, w_per_k);
            add(b, a, w_per_k);
            add(b, b, -w_per_k);
        };
        for (std::uint32_t i = 0; i < bodies_; ++i) {
            join(i, bodies_, film_scale_[i] * kFilm);
            if (i > 0) join(i - 1, i, Real{kLink});
            add(i, i, -4.0 * kRadiation * y[i] * y[i] * y[i]);
        }
    }
    void time_derivative(double time_s, std::span<const Real>, std::span<Real> d) const {
        const double wall_k = 300.0 + wall_slope_k_per_s * time_s;
        for (std::uint32_t i = 0; i < bodies_; ++i)
            d[i] = Real{4.0 * kRadiation * wall_k * wall_k * wall_k * wall_slope_k_per_s / capacity_j_per_k_[i]};
        d[bodies_] = Real{};
    }

    double heater_w = 6000.0;
    double wall_slope_k_per_s = 0.02;

private:
    static constexpr double kFilm = 20.0;       // W/K
    static constexpr double kLink = 5.0;        // W/K
    static constexpr double kRadiation = 5e-8;  // W/K^4

    std::uint32_t bodies_;
    std::vector<Real> film_scale_;
    std::vector<double> capacity_j_per_k_;
    SparsityPattern pattern_;
};

/// Largest absolute difference, over components and lanes.
template <class Real>
double largest_difference(std::span<const Real> a, std::span<const Real> b) {
    double largest = 0.0;
    for (std::size_t i = 0; i < a.size(); ++i)
        for (std::size_t l = 0; l < lane_count_v<Real>; ++l)
            largest = std::max(largest, std::abs(static_cast<double>(lane(a[i], l)) - static_cast<double>(lane(b[i], l))));
    return largest;
}

}  // namespace bakewright::thermal::test
