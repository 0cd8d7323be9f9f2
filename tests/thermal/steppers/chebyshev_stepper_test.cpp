#include "bakewright/thermal/steppers/chebyshev_stepper.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "bakewright/base/error.hpp"
#include "thermal/steppers/test_systems.hpp"

namespace bakewright::thermal {
namespace {

std::vector<double> march(const test::FunctionSystem& system, std::vector<double> y, double end_s, int steps) {
    ChebyshevStepper<double> stepper;
    const double step_s = end_s / steps;
    for (int k = 0; k < steps; ++k) stepper.do_step(std::cref(system), y, k * step_s, step_s);
    return y;
}

/// R(z) of the method with that many stages: one step of y' = z y of length 1.
double stability(const std::vector<ChebyshevStage>& stages, double z) {
    double last = 0.0, now = stages[0].mu_rate * z;
    for (std::size_t j = 1; j < stages.size(); ++j) {
        const double next =
            stages[j].mu * now + stages[j].nu * last + stages[j].mu_rate * z * (1.0 + now) + stages[j].gamma_rate * z;
        last = now;
        now = next;
    }
    return 1.0 + now;
}

}  // namespace

TEST_CASE("every number of stages is of order two: its stability function is exp to the second power of the step") {
    // Tolerance: 2e-10, since R and exp may differ by |z|^3 / 6 = 1.7e-10 at z = 1e-3. Seen: 0.7e-10 to 1.7e-10.
    for (std::size_t count = 2; count <= 200; count += 11) {
        const auto stages = chebyshev_stages(count);
        CAPTURE(count);
        CHECK(stages.size() == count);
        CHECK(std::abs(stages.back().c - 1.0) <= 1e-10);
        CHECK(std::abs(stability(stages, -1e-3) - std::exp(-1e-3)) <= 2e-10);
        CHECK(std::abs(stability(stages, 1e-3) - std::exp(1e-3)) <= 2e-10);
    }
    CHECK_THROWS_AS(static_cast<void>(chebyshev_stages(1)), PromiseError);
}

TEST_CASE("the number of stages chosen is stable over the whole of the negative axis that it is chosen for") {
    for (const double radius : {0.1, 3.0, 50.0, 1000.0, 30000.0}) {
        const auto stages = chebyshev_stages(chebyshev_stage_count(radius));
        for (int k = 1; k <= 1000; ++k) CHECK(std::abs(stability(stages, -radius * k / 1000.0)) < 1.0);
    }
}

TEST_CASE("the stable stretch grows with the square of the number of stages, as the paper has it") {
    // Source: Sommeijer, Shampine & Verwer (1998): beta(s) = 2/3 (s^2 - 1) (1 - 2/15 * 2/13), an approximation that is good from
    // ten stages on. Tolerance: 1 %. Seen: 0.15 %.
    for (const std::size_t count : {10U, 20U, 40U, 100U}) {
        const auto stages = chebyshev_stages(count);
        const double beta = 2.0 / 3.0 * (static_cast<double>(count * count) - 1.0) * (1.0 - 2.0 / 15.0 * 2.0 / 13.0);
        CHECK(std::abs(stability(stages, -0.99 * beta)) <= 1.0);
        CHECK(std::abs(stability(stages, -1.01 * beta)) > 1.0);
    }
}

TEST_CASE("halving the step gains order two, whether or not the equations name the time, stiff or not") {
    for (const int n : {32, 64, 128}) {
        const auto timed = [](int k) { return std::abs(march(test::timed(), {1.0}, 2.0, k)[0] - 0.2); };
        const auto kaps = [](int k) { return std::abs(march(test::kaps(1.0), {1.0, 1.0}, 1.0, k)[1] - std::exp(-1.0)); };
        const auto stiff = [](int k) { return std::abs(march(test::kaps(1e-3), {1.0, 1.0}, 1.0, k)[1] - std::exp(-1.0)); };
        CHECK(std::abs(std::log2(timed(n) / timed(2 * n)) - 2.0) <= 0.25);
        CHECK(std::abs(std::log2(kaps(n) / kaps(2 * n)) - 2.0) <= 0.25);
        CHECK(std::abs(std::log2(stiff(n) / stiff(2 * n)) - 2.0) <= 0.4);
    }
}

TEST_CASE("the error estimate shrinks with the third power of the step, the dense output's error faster") {
    const test::FunctionSystem system = test::timed();
    const auto exact = [](double t) { return 1.0 / (1.0 + t * t); };
    const auto step = [&](double step_s, double& estimate, double& inside) {
        ChebyshevStepper<double> stepper;
        const std::vector<double> before{exact(0.5)};
        std::vector<double> after, error, y(1);
        stepper.do_step(std::cref(system), before, 0.5, after, step_s, error);
        estimate = std::abs(error[0]);
        inside = 0.0;
        for (const double theta : {0.2, 0.5, 0.8}) {
            stepper.interpolate(theta, before, after, y);
            inside = std::max(inside, std::abs(y[0] - exact(0.5 + theta * step_s)));
        }
    };
    for (const double step_s : {0.1, 0.05, 0.025}) {
        double estimate = 0.0, finer = 0.0, inside = 0.0, finer_inside = 0.0;
        step(step_s, estimate, inside);
        step(0.5 * step_s, finer, finer_inside);
        CHECK(std::abs(std::log2(estimate / finer) - 3.0) <= 0.35);
        CHECK(std::abs(std::log2(inside / finer_inside) - 3.0) <= 0.35);
    }
}

TEST_CASE("the spectral radius is found between the true one and Gershgorin's bound") {
    // Eigenvalues of the chain matrix [1 -2 1]: -4 sin^2(k pi / (2 (n + 1))); the largest approaches 4, which is the bound.
    // Source: Golub & Van Loan, Matrix Computations, 3rd ed., section 4.5 (from memory).
    std::vector<std::pair<std::uint32_t, std::uint32_t>> entries;
    for (std::uint32_t i = 1; i < 10; ++i) entries.emplace_back(i - 1, i);
    const SparsityPattern pattern(10, entries);
    std::vector<double> jacobian(pattern.entry_count(), 1.0);
    for (std::uint32_t i = 0; i < 10; ++i) jacobian[pattern.position(i, i)] = -2.0;
    const double exact = 4.0 * std::pow(std::sin(10.0 * std::acos(-1.0) / 22.0), 2);
    CHECK(gershgorin_bound_per_s<double>(pattern, jacobian) == 4.0);
    SpectralRadius<double> radius;
    const double found = radius.estimate_per_s(pattern, jacobian);
    CHECK(found >= exact);
    CHECK(found <= 4.0);
}

TEST_CASE("a star, whose bound is twice its radius, is found to within a fifth") {
    // One body that warms nobody: eigenvalues -1, ..., -10 on the diagonal, with a link of 9 from the last to the first.
    const SparsityPattern pattern(3, std::vector<std::pair<std::uint32_t, std::uint32_t>>{{0, 2}});
    std::vector<double> jacobian(pattern.entry_count(), 0.0);
    jacobian[pattern.position(0, 0)] = -1.0;
    jacobian[pattern.position(1, 1)] = -2.0;
    jacobian[pattern.position(2, 2)] = -10.0;
    jacobian[pattern.position(2, 0)] = 10.0;
    SpectralRadius<double> radius;
    CHECK(gershgorin_bound_per_s<double>(pattern, jacobian) == 20.0);
    const double found = radius.estimate_per_s(pattern, jacobian);
    CHECK(found >= 10.0);
    CHECK(found <= 12.1);
}

}  // namespace bakewright::thermal
