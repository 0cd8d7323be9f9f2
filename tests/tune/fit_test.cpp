// SPDX-License-Identifier: Apache-2.0
#include "bakewright/tune/fit.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <fstream>
#include <functional>
#include <map>
#include <numbers>
#include <sstream>
#include <string>
#include <vector>

using namespace bakewright;
using Model = std::function<double(const std::vector<double>& b, double x)>;

namespace {

/// Numbers without pattern that add up to nothing in particular; fixed.
double scatter(std::size_t i) {
    return std::sin(12.9898 * static_cast<double>(i + 1)) * std::cos(78.233 * static_cast<double>(i));
}

/// A straight line y = a + b x through points of standard deviation `sigma`.
struct Line {
    std::vector<double> x, y;
    double sigma = 1.0;

    [[nodiscard]] tune::FitProblem problem() const {
        tune::FitProblem made;
        made.parameters = {{"a", 0.0}, {"b", 0.0}};
        made.residual_count = x.size();
        made.evaluate = [this](std::span<const double> at, std::span<double> residual, std::span<double> jacobian) {
            for (std::size_t i = 0; i < x.size(); ++i) {
                residual[i] = (at[0] + at[1] * x[i] - y[i]) / sigma;
                if (jacobian.empty()) continue;
                jacobian[2 * i] = 1.0 / sigma;
                jacobian[2 * i + 1] = x[i] / sigma;
            }
            return true;
        };
        return made;
    }
};

Line line_of(std::size_t count) {
    Line line;
    for (std::size_t i = 0; i < count; ++i) {
        line.x.push_back(static_cast<double>(i));
        line.y.push_back(3.0 - 0.5 * static_cast<double>(i) + scatter(i));
    }
    return line;
}

}  // namespace

TEST_CASE("the rate of a one-parameter cooling law comes out as linear regression in closed form says") {
    // Source: Newton's cooling theta = theta_0 exp(-k t) with theta_0 known: ln(theta / theta_0) = -k t is linear through the
    // origin, k = -sum(t y) / sum(t^2), standard error s / sqrt(sum(t^2)) with s^2 = RSS / (n - 1) (Draper & Smith, Applied
    // Regression Analysis, 3rd ed. (1998), section 1.6, from memory). Tolerance: relative 1e-9 on the rate, where a damped last
    // step stops; 1e-12 on its error, rounding.
    std::vector<double> time_s, log_theta;
    for (std::size_t i = 1; i <= 40; ++i) {
        time_s.push_back(30.0 * static_cast<double>(i));
        log_theta.push_back(-time_s.back() / 480.0 + 0.01 * scatter(i));
    }
    double ty = 0.0, tt = 0.0, squares = 0.0;
    for (std::size_t i = 0; i < time_s.size(); ++i) ty += time_s[i] * log_theta[i], tt += time_s[i] * time_s[i];
    const double rate_per_s = -ty / tt;
    for (std::size_t i = 0; i < time_s.size(); ++i) squares += std::pow(log_theta[i] + rate_per_s * time_s[i], 2);
    tune::FitProblem problem;
    problem.parameters = {{"rate", 1e-3}};
    problem.residual_count = time_s.size();
    problem.evaluate = [&](std::span<const double> at, std::span<double> residual, std::span<double> jacobian) {
        for (std::size_t i = 0; i < residual.size(); ++i) {
            residual[i] = -at[0] * time_s[i] - log_theta[i];
            if (!jacobian.empty()) jacobian[i] = -time_s[i];
        }
        return true;
    };
    const tune::FitResult result = tune::fit(problem, {.robust_from = {}, .scatter_from_residuals = true, .tolerance = 1e-15});
    CHECK(result.converged);
    CHECK(std::abs(result.value[0] / rate_per_s - 1.0) <= 1e-9);
    CHECK(std::abs(result.standard_error[0] / std::sqrt(squares / 39.0 / tt) - 1.0) <= 1e-12);
}

TEST_CASE("a prior and data meet at their weighted mean, with the weights' sum for precision") {
    // Source: conjugate normal mean (Gelman et al., Bayesian Data Analysis, 3rd ed. (2013), eq. (2.12), from memory):
    // prior N(10, 2), four observations of mean 13 and standard deviation 1: precision 1/4 + 4, mean (2.5 + 52) / 4.25.
    tune::FitProblem problem;
    problem.parameters = {{.name = "mean", .start = 0.0, .prior_mean = 10.0, .prior_standard = 2.0}};
    problem.residual_count = 4;
    problem.evaluate = [](std::span<const double> at, std::span<double> residual, std::span<double> jacobian) {
        for (std::size_t i = 0; i < 4; ++i) {
            residual[i] = at[0] - (12.0 + (i % 2 == 0 ? 0.0 : 2.0));
            if (!jacobian.empty()) jacobian[i] = 1.0;
        }
        return true;
    };
    const tune::FitResult result = tune::fit(problem, {.tolerance = 1e-15});
    CHECK(std::abs(result.value[0] - 54.5 / 4.25) <= 1e-9);
    CHECK(std::abs(result.standard_error[0] - 1.0 / std::sqrt(4.25)) <= 1e-12);
    CHECK(std::abs(result.singular_value[0] - 2.0 * 2.0) <= 1e-12);  // prior 2 over the data's 1 / sqrt(4)
    CHECK(result.weak.empty());
}

TEST_CASE("two parameters that only act together are named, and keep their priors") {
    Line line = line_of(20);
    tune::FitProblem problem;
    problem.parameters = {{.name = "first", .start = 0.0, .prior_mean = 0.0, .prior_standard = 1.0},
                          {.name = "second", .start = 0.0, .prior_mean = 0.0, .prior_standard = 1.0},
                          {.name = "unseen", .start = 0.25, .prior_mean = 0.25, .prior_standard = 0.5}};
    problem.residual_count = line.x.size();
    problem.evaluate = [&](std::span<const double> at, std::span<double> residual, std::span<double> jacobian) {
        for (std::size_t i = 0; i < residual.size(); ++i) {
            residual[i] = (at[0] + at[1]) * 0.1 * line.x[i] - 0.1 * line.x[i];
            if (jacobian.empty()) continue;
            jacobian[3 * i] = jacobian[3 * i + 1] = 0.1 * line.x[i];
            jacobian[3 * i + 2] = 0.0;
        }
        return true;
    };
    const tune::FitResult result = tune::fit(problem);
    REQUIRE(result.weak.size() == 2);
    for (const tune::WeakCombination& weak : result.weak) {
        const bool is_pair = weak.shares.size() == 2;
        if (is_pair)
            CHECK(std::abs(weak.shares[0].weight + weak.shares[1].weight) <= 1e-9);  // their difference
        else
            CHECK(weak.shares.at(0).parameter == 2);
    }
    CHECK(result.correlation(0, 1) < -0.9);
    CHECK(std::abs(result.value[2] - 0.25) <= 1e-12);
    CHECK(std::abs(result.standard_error[2] - 0.5) <= 1e-12);
}

TEST_CASE("without priors a parameter that nothing tells has no finite error, the others keep theirs") {
    Line line = line_of(10);
    tune::FitProblem problem = line.problem();
    problem.parameters.push_back({"unseen", 1.0});
    const auto plain = problem.evaluate;
    problem.evaluate = [plain](std::span<const double> at, std::span<double> residual, std::span<double> jacobian) {
        std::vector<double> two(jacobian.empty() ? 0 : 2 * residual.size());
        const bool good = plain(at.subspan(0, 2), residual, two);
        for (std::size_t i = 0; i < jacobian.size(); ++i) jacobian[i] = i % 3 == 2 ? 0.0 : two[i / 3 * 2 + i % 3];
        return good;
    };
    const tune::FitResult result = tune::fit(problem);
    REQUIRE(result.weak.size() == 1);
    CHECK(result.weak[0].shares.at(0).parameter == 2);
    CHECK(std::isinf(result.standard_error[2]));
    CHECK(std::isfinite(result.standard_error[0]));
    CHECK(std::isfinite(result.standard_error[1]));
}

TEST_CASE("one wild reading moves a robust fit by less than a tenth of what it moves a plain one") {
    Line line = line_of(40);
    line.sigma = 0.5;
    const double before = tune::fit(line.problem(), {.robust_from = 1.345}).value[1];
    line.y[35] += 60.0;
    const double robust = tune::fit(line.problem(), {.robust_from = 1.345}).value[1];
    const double plain = tune::fit(line.problem()).value[1];
    CHECK(std::abs(robust - before) <= 0.1 * std::abs(plain - before));
    CHECK(std::abs(plain - before) > 0.1);  // the reading does pull
}

TEST_CASE("a bound is kept and told") {
    Line line = line_of(30);
    tune::FitProblem problem = line.problem();
    problem.parameters[1].lower = -0.2;  // the data want -0.5
    const tune::FitResult result = tune::fit(problem);
    CHECK(result.converged);
    CHECK(std::abs(result.value[1] + 0.2) <= 1e-9);
    CHECK(result.at_bound[1]);
    CHECK_FALSE(result.at_bound[0]);
}

TEST_CASE("neighbours alike are told by lag-one correlation and by Durbin and Watson's number") {
    // Residuals 1, 1, -1, -1, 1, 1, ...: products cancel but for the pairs: 20 of 40 positive, 19 negative; d about 2 (1 - r).
    Line line;
    for (std::size_t i = 0; i < 200; ++i) {
        line.x.push_back(static_cast<double>(i));
        line.y.push_back(std::sin(2.0 * 3.14159265358979 * static_cast<double>(i) / 25.0));  // slow waves about a line
    }
    const tune::FitResult waves = tune::fit(line.problem());
    // Lag-one correlation of a sine of period 25 is cos(2 pi / 25) = 0.9686; ends and the fitted line take a little.
    CHECK(std::abs(waves.lag_one - 0.9686) <= 0.02);
    CHECK(std::abs(waves.durbin_watson - 2.0 * (1.0 - 0.9686)) <= 0.02);
    const tune::FitResult noise = tune::fit(line_of(200).problem());
    CHECK(noise.durbin_watson > 1.2);
}

// The fitting layer against certified non-linear regression problems.

namespace {

/// Models as the problems' files print them.
const std::map<std::string, Model> kModels{
    {"misra1a", [](const auto& b, double x) { return b[0] * (1.0 - std::exp(-b[1] * x)); }},
    {"misra1c", [](const auto& b, double x) { return b[0] * (1.0 - std::pow(1.0 + 2.0 * b[1] * x, -0.5)); }},
    {"lanczos3", [](const auto& b,
                    double x) { return b[0] * std::exp(-b[1] * x) + b[2] * std::exp(-b[3] * x) + b[4] * std::exp(-b[5] * x); }},
    {"roszman1", [](const auto& b, double x) { return b[0] - b[1] * x - std::atan(b[2] / (x - b[3])) / std::numbers::pi; }},
    {"mgh09", [](const auto& b, double x) { return b[0] * (x * x + x * b[1]) / (x * x + x * b[2] + b[3]); }},
    {"mgh10", [](const auto& b, double x) { return b[0] * std::exp(b[1] / (x + b[2])); }},
    {"thurber",
     [](const auto& b, double x) {
         return (b[0] + x * (b[1] + x * (b[2] + x * b[3]))) / (1.0 + x * (b[4] + x * (b[5] + x * b[6])));
     }},
    {"eckerle4", [](const auto& b, double x) { return b[0] / b[1] * std::exp(-0.5 * (x - b[2]) / b[1] * (x - b[2]) / b[1]); }},
    {"rat43", [](const auto& b, double x) { return b[0] / std::pow(1.0 + std::exp(b[1] - b[2] * x), 1.0 / b[3]); }}};

struct Certified {
    double start[2], value, standard_deviation;
};

struct Strd {
    std::string name;
    std::vector<double> x, y;
    std::vector<Certified> parameters;
    double sum_of_squares = 0.0;
};

std::vector<std::vector<std::string>> rows_of(const std::string& file) {
    std::ifstream in(BAKEWRIGHT_TEST_DATA "/nist-strd/" + file);
    std::vector<std::vector<std::string>> rows;
    std::string line, cell;
    std::getline(in, line);
    while (std::getline(in, line)) {
        std::istringstream cells(line);
        rows.emplace_back();
        while (std::getline(cells, cell, ',')) rows.back().push_back(cell);
    }
    REQUIRE(!rows.empty());
    return rows;
}

Strd load(const std::string& name) {
    Strd problem;
    problem.name = name;
    for (const auto& row : rows_of(name + ".csv")) {
        problem.y.push_back(std::stod(row.at(0)));
        problem.x.push_back(std::stod(row.at(1)));
    }
    for (const auto& row : rows_of("certified.csv")) {
        if (row.at(0) != name) continue;
        problem.parameters.push_back({{std::stod(row.at(3)), std::stod(row.at(4))}, std::stod(row.at(5)), std::stod(row.at(6))});
        problem.sum_of_squares = std::stod(row.at(7));
    }
    REQUIRE(problem.parameters.size() >= 2);
    return problem;
}

/// Derivatives by differences of fourth order: as good as the model's own rounding allows.
double slope(const Model& model, std::vector<double> b, std::size_t p, double x) {
    const double step = 1e-4 * (b[p] != 0.0 ? std::abs(b[p]) : 1e-4), at = b[p];
    const auto value = [&](double steps) {
        b[p] = at + steps * step;
        return model(b, x);
    };
    return (8.0 * (value(1) - value(-1)) - (value(2) - value(-2))) / (12.0 * step);
}

tune::FitResult fit_from(const Strd& problem, int start) {
    const Model& model = kModels.at(problem.name);
    tune::FitProblem fit;
    for (std::size_t p = 0; p < problem.parameters.size(); ++p)
        fit.parameters.push_back({"b" + std::to_string(p + 1), problem.parameters[p].start[start]});
    fit.residual_count = problem.x.size();
    fit.evaluate = [&](std::span<const double> at, std::span<double> residual, std::span<double> jacobian) {
        const std::vector<double> b(at.begin(), at.end());
        for (std::size_t i = 0; i < residual.size(); ++i) {
            residual[i] = model(b, problem.x[i]) - problem.y[i];
            for (std::size_t p = 0; p < b.size() && !jacobian.empty(); ++p)
                jacobian[i * b.size() + p] = slope(model, b, p, problem.x[i]);
        }
        return true;
    };
    return tune::fit(fit,
                     {.robust_from = {}, .scatter_from_residuals = true, .largest_iteration_count = 5000, .tolerance = 1e-15});
}

}  // namespace

TEST_CASE("certified regression problems of every difficulty are met to their digits from both starting points") {
    // Source: NIST StRD, Nonlinear Regression (see tests/data/nist-strd/SOURCE.md), certified to 11 digits.
    // Tolerance: relative 1e-6 on values and sums of squares, 1e-5 on standard deviations: 6 and 5 digits, where derivatives by
    // differences in double precision leave 7 at worst (lanczos3, whose data have five). Seen: 2e-8, 1e-9, 2e-7.
    for (const auto& [name, model] : kModels) {
        const Strd problem = load(name);
        for (const int start : {0, 1}) {
            CAPTURE(name);
            CAPTURE(start);
            const tune::FitResult result = fit_from(problem, start);
            CAPTURE(result.message);
            CAPTURE(result.iterations);
            CHECK(std::abs(result.sum_of_squares / problem.sum_of_squares - 1.0) <= 1e-6);
            for (std::size_t p = 0; p < problem.parameters.size(); ++p) {
                const Certified& certified = problem.parameters[p];
                CAPTURE(p);
                CHECK(std::abs(result.value[p] / certified.value - 1.0) <= 1e-6);
                CHECK(std::abs(result.standard_error[p] / certified.standard_deviation - 1.0) <= 1e-5);
            }
        }
    }
}
