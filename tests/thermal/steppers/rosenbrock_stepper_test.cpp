// SPDX-License-Identifier: Apache-2.0
#include "steppers/rosenbrock_stepper.hpp"

#include <doctest/doctest.h>

#include <array>
#include <cmath>

#include "thermal/steppers/test_systems.hpp"

namespace bakewright::thermal {
namespace {

using test::FunctionSystem;

/// Boost 1.74's rosenbrock4 has this sign of d_4.
constexpr RosenbrockCoefficients wrong_sign() {
    RosenbrockCoefficients coefficients = kRodas;
    coefficients.d[3] = -coefficients.d[3];
    return coefficients;
}
constexpr RosenbrockCoefficients kWrongSign = wrong_sign();

template <const RosenbrockCoefficients& Coefficients>
std::vector<double> march(const FunctionSystem& system, std::vector<double> y, double end_s, int steps) {
    RosenbrockStepper<double, Coefficients> stepper;
    const double step_s = end_s / steps;
    for (int k = 0; k < steps; ++k) stepper.do_step(std::cref(system), y, k * step_s, step_s);
    return y;
}

/// Orders seen from halving the step three times; `error` of a number of steps.
template <class Error>
std::array<double, 3> orders(Error&& error, int steps) {
    std::array<double, 3> seen{};
    for (double& order : seen) {
        order = std::log2(error(steps) / error(2 * steps));
        steps *= 2;
    }
    return seen;
}

template <const RosenbrockCoefficients& Coefficients>
double kaps_error(int steps, double eps) {
    const auto y = march<Coefficients>(test::kaps(eps), {1.0, 1.0}, 1.0, steps);
    return std::max(std::abs(y[0] - std::exp(-2.0)), std::abs(y[1] - std::exp(-1.0)));
}
template <const RosenbrockCoefficients& Coefficients>
double timed_error(int steps) {
    return std::abs(march<Coefficients>(test::timed(), {1.0}, 2.0, steps)[0] - 0.2);
}
template <const RosenbrockCoefficients& Coefficients>
double prothero_robinson_error(int steps, double rate) {
    return std::abs(march<Coefficients>(test::prothero_robinson(rate), {std::sin(1.0)}, 1.0, steps)[0] - std::sin(2.0));
}

/// The coefficients as the book's alpha_ij, beta_ij = alpha_ij + gamma_ij and b_i, from the transformed ones:
/// Gamma = (I/gamma - C)^-1, alpha = A Gamma, b = m Gamma (Hairer & Wanner, section IV.7, eq. (7.25)).
struct BookForm {
    static constexpr std::size_t n = kRosenbrockStages;
    std::array<std::array<double, n>, n> alpha{}, gamma{}, beta{};
    std::array<double, n> b{}, b_embedded{};

    explicit BookForm(const RosenbrockCoefficients& c) {
        for (std::size_t j = 0; j < n; ++j)  // column j of the inverse of a lower triangle, by forward substitution
            for (std::size_t i = j; i < n; ++i) {
                double sum = i == j ? 1.0 : 0.0;
                for (std::size_t k = j; k < i; ++k) sum += c.c[i][k] * gamma[k][j];
                gamma[i][j] = sum * c.gamma;
            }
        for (std::size_t i = 0; i < n; ++i)
            for (std::size_t j = 0; j < n; ++j) {
                for (std::size_t k = 0; k < n; ++k) alpha[i][j] += c.a[i][k] * gamma[k][j];
                beta[i][j] = alpha[i][j] + gamma[i][j];
                // y_1 = y + sum_j a_6j u_j + u_6; without u_6 it is the embedded solution.
                b_embedded[j] = alpha[n - 1][j];
            }
        for (std::size_t j = 0; j < n; ++j) b[j] = alpha[n - 1][j] + gamma[n - 1][j];
    }
    [[nodiscard]] double row_sum(const std::array<std::array<double, n>, n>& m, std::size_t i) const {
        double sum = 0.0;
        for (const double value : m[i]) sum += value;
        return sum;
    }
    [[nodiscard]] std::array<double, n> times(const std::array<std::array<double, n>, n>& m,
                                              const std::array<double, n>& x) const {
        std::array<double, n> out{};
        for (std::size_t i = 0; i < n; ++i)
            for (std::size_t j = 0; j < n; ++j) out[i] += m[i][j] * x[j];
        return out;
    }
};

void check_order_conditions(const RosenbrockCoefficients& coefficients) {
    // Source: Hairer & Wanner, section IV.7, table 7.1, in the form with sums over beta_ij that holds the diagonal gamma.
    // Tolerance: 2e-13; the tables are printed to 15 or 16 digits and their entries reach 57.
    const BookForm form(coefficients);
    std::array<double, BookForm::n> one{}, alpha{}, alpha_squared{}, alpha_cubed{};
    for (std::size_t i = 0; i < BookForm::n; ++i) {
        one[i] = 1.0;
        alpha[i] = form.row_sum(form.alpha, i);
        alpha_squared[i] = alpha[i] * alpha[i];
        alpha_cubed[i] = alpha_squared[i] * alpha[i];
        CAPTURE(i);
        CHECK(std::abs(alpha[i] - coefficients.alpha[i]) <= 2e-13);
        CHECK(std::abs(form.row_sum(form.gamma, i) - coefficients.d[i]) <= 2e-13);
    }
    const auto beta = form.times(form.beta, one);
    const auto beta_beta = form.times(form.beta, beta);
    auto alpha_beta = form.times(form.alpha, beta);
    for (std::size_t i = 0; i < BookForm::n; ++i) alpha_beta[i] *= alpha[i];
    const std::array<std::pair<std::array<double, BookForm::n>, double>, 8> conditions{
        {{one, 1.0},
         {beta, 1.0 / 2},
         {alpha_squared, 1.0 / 3},
         {beta_beta, 1.0 / 6},
         {alpha_cubed, 1.0 / 4},
         {alpha_beta, 1.0 / 8},
         {form.times(form.beta, alpha_squared), 1.0 / 12},
         {form.times(form.beta, beta_beta), 1.0 / 24}}};
    for (std::size_t k = 0; k < conditions.size(); ++k) {
        double sum = 0.0, embedded = 0.0;
        for (std::size_t i = 0; i < BookForm::n; ++i) {
            sum += form.b[i] * conditions[k].first[i];
            embedded += form.b_embedded[i] * conditions[k].first[i];
        }
        CAPTURE(k);
        CHECK(std::abs(sum - conditions[k].second) <= 2e-13);
        if (k < 4) CHECK(std::abs(embedded - conditions[k].second) <= 2e-13);
    }
}

}  // namespace

TEST_CASE("both sets of coefficients satisfy the conditions of order four, and of order three without the last stage") {
    check_order_conditions(kRodas);
    check_order_conditions(kRodasp2);
}

TEST_CASE("the coefficient d4 of RODAS is negative") { CHECK(kRodas.d[3] == -0.0362); }

TEST_CASE("halving the step gains order four where the equations do not name the time") {
    for (const double order : orders([](int n) { return kaps_error<kRodas>(n, 1.0); }, 8)) CHECK(std::abs(order - 4.0) <= 0.25);
    for (const double order : orders([](int n) { return kaps_error<kRodasp2>(n, 1.0); }, 8)) CHECK(std::abs(order - 4.0) <= 0.25);
}

TEST_CASE("halving the step gains order four where the equations name the time") {
    for (const double order : orders(timed_error<kRodas>, 32)) CHECK(std::abs(order - 4.0) <= 0.3);
    for (const double order : orders(timed_error<kRodasp2>, 32)) CHECK(std::abs(order - 4.0) <= 0.3);
}

TEST_CASE("with the wrong sign of d4 only order one is left where the equations name the time") {
    for (const double order : orders(timed_error<kWrongSign>, 64)) CHECK(std::abs(order - 1.0) <= 0.3);
}

TEST_CASE("stiffness costs the default method no more than one order, and its error stays small") {
    // Prothero and Robinson's problem at 1e5: steps are a thousand to ten thousand time constants long.
    for (const double order : orders([](int n) { return prothero_robinson_error<kRodasp2>(n, 1e5); }, 8)) {
        CHECK(order >= 2.8);
        CHECK(order <= 5.2);
    }
    CHECK(prothero_robinson_error<kRodasp2>(16, 1e5) <= 1e-8);
}

TEST_CASE("the default method keeps its accuracy under stiffness where the classical one loses some") {
    CHECK(prothero_robinson_error<kRodasp2>(32, 300.0) < 0.2 * prothero_robinson_error<kRodas>(32, 300.0));
}

TEST_CASE("a stiff equation that is not linear is followed with steps ten thousand times its time constant") {
    CHECK(kaps_error<kRodasp2>(20, 1e-6) <= 1e-6);
    CHECK(kaps_error<kRodasp2>(20, 1e-6) > 0.0);
}

TEST_CASE("a transient a million times faster than the step is gone after one step: L-stability") {
    const FunctionSystem decay{test::dense_pattern(1), [](double, auto y, auto f) { f[0] = -1e6 * y[0]; },
                               [](double, auto, auto j) { j[0] = -1e6; }, nullptr};
    CHECK(std::abs(march<kRodasp2>(decay, {1.0}, 1.0, 1)[0]) <= 1e-5);
    CHECK(std::abs(march<kRodas>(decay, {1.0}, 1.0, 1)[0]) <= 1e-5);
}

TEST_CASE("the error estimate shrinks with the fourth power of the step and is larger than the error") {
    const FunctionSystem system = test::timed();
    const auto estimate = [&](double step_s, double& true_error) {
        RosenbrockStepper<double> stepper;
        const double start_s = 0.5;
        std::vector<double> y{1.0 / (1.0 + start_s * start_s)}, error;
        stepper.do_step(std::cref(system), y, start_s, step_s, error);
        true_error = std::abs(y[0] - 1.0 / (1.0 + (start_s + step_s) * (start_s + step_s)));
        return std::abs(error[0]);
    };
    for (const double step_s : {0.1, 0.05, 0.025}) {
        double coarse_error = 0.0, fine_error = 0.0;
        const double order = std::log2(estimate(step_s, coarse_error) / estimate(0.5 * step_s, fine_error));
        CHECK(std::abs(order - 4.0) <= 0.5);
        CHECK(estimate(step_s, coarse_error) > coarse_error);
    }
}

TEST_CASE_TEMPLATE("between the ends of a step the error shrinks with the fourth power of the step", Which,
                   std::integral_constant<const RosenbrockCoefficients*, &kRodas>,
                   std::integral_constant<const RosenbrockCoefficients*, &kRodasp2>) {
    const FunctionSystem system = test::timed();
    const auto inside_error = [&](double step_s) {
        RosenbrockStepper<double, *Which::value> stepper;
        const double start_s = 0.5;
        const std::vector<double> before{1.0 / (1.0 + start_s * start_s)};
        std::vector<double> after, error, y(1);
        stepper.do_step(std::cref(system), before, start_s, after, step_s, error);
        double largest = 0.0;
        for (const double theta : {0.1, 0.25, 0.5, 0.75, 0.9}) {
            stepper.interpolate(theta, before, after, y);
            const double time_s = start_s + theta * step_s;
            largest = std::max(largest, std::abs(y[0] - 1.0 / (1.0 + time_s * time_s)));
        }
        return largest;
    };
    for (const double step_s : {0.1, 0.05, 0.025}) {
        const double order = std::log2(inside_error(step_s) / inside_error(0.5 * step_s));
        CHECK(std::abs(order - 4.0) <= 0.5);
    }
}

TEST_CASE("the dense output meets both ends of a step") {
    const FunctionSystem system = test::kaps(0.1);
    RosenbrockStepper<double> stepper;
    const std::vector<double> before{1.0, 1.0};
    std::vector<double> after, error, y(2);
    stepper.do_step(std::cref(system), before, 0.0, after, 0.3, error);
    stepper.interpolate(0.0, before, after, y);
    CHECK(y == before);
    stepper.interpolate(1.0, before, after, y);
    CHECK(test::largest_difference<double>(y, after) <= 1e-15);
}

}  // namespace bakewright::thermal
