// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <functional>
#include <limits>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace bakewright::tune {

/// One unknown of a fit, in any unit. With a prior it is believed to be normal about prior_mean before any data are seen.
struct FitParameter {
    std::string name;
    double start = 0.0;
    double lower = -std::numeric_limits<double>::infinity();
    double upper = std::numeric_limits<double>::infinity();  ///< lower < upper; start within
    double prior_mean = 0.0;
    std::optional<double> prior_standard{};  ///< > 0; absent: nothing is known beforehand
};

/// Residuals of a fit and their derivatives. Shapes: residual one an observation, divided by its standard deviation; jacobian row
/// by row, d residual / d parameter, empty where only residuals are asked for. Returns false where the parameters make no sense
/// (the step is then shortened).
using FitFunction =
    std::function<bool(std::span<const double> parameters, std::span<double> residual, std::span<double> jacobian)>;

struct FitProblem {
    std::vector<FitParameter> parameters;
    std::size_t residual_count = 0;
    FitFunction evaluate;
    /// Residuals that follow each other in time, as {first, one past the last}: the stretches over which autocorrelation is
    /// taken.
    std::vector<std::pair<std::size_t, std::size_t>> series{};
};

struct FitOptions {
    /// Residuals beyond so many standard deviations pull only in proportion to themselves (Huber 1964); absent: plain squares.
    /// 1.345 keeps 95 % of the efficiency on normal residuals (Huber & Ronchetti, Robust Statistics, 2nd ed. (2009), from
    /// memory).
    std::optional<double> robust_from{};
    /// Standard errors from the scatter found, in place of residuals taken to have a standard deviation of 1.
    bool scatter_from_residuals = false;
    std::size_t largest_iteration_count = 200;
    double tolerance = 1e-10;  ///< relative, on cost and step
};

/// A direction in which the data say little: a sum of parameters that could not be told.
struct WeakCombination {
    double singular_value = 0.0;
    struct Share {
        std::size_t parameter = 0;
        double weight = 0.0;  ///< in units of the parameter's scale; the squares of all weights add up to 1
    };
    std::vector<Share> shares;  ///< weights of 0.3 and more, largest first
};

struct FitResult {
    bool converged = false;
    std::string message;  ///< why it ended, for people
    std::size_t iterations = 0;
    std::size_t evaluations = 0;  ///< calls of the function
    std::vector<double> value;
    std::vector<double> standard_error;  ///< infinite where neither data nor prior say anything
    std::vector<double> covariance;      ///< row by row
    std::vector<bool> at_bound;
    /// Of the data's Jacobian with each column times its parameter's scale: the prior's standard deviation, without one the
    /// inverse of the column's own length. Largest first. With priors everywhere a value below 1 says that the prior knew better
    /// than the data.
    std::vector<double> singular_value;
    std::vector<WeakCombination> weak;
    std::vector<double> residual;
    double sum_of_squares = 0.0;      ///< of residuals, priors and robust weights left out
    double degrees_of_freedom = 0.0;  ///< residuals less parameters, each counted by what the data say of it
    double scatter = 0.0;             ///< root of sum of squares over degrees of freedom: 1 where the standard deviations hold
    double lag_one = 0.0;             ///< correlation of neighbouring residuals of the series
    double durbin_watson = 2.0;       ///< 2: none; towards 0: neighbours alike

    [[nodiscard]] double correlation(std::size_t a, std::size_t b) const;
};

/// Least squares with bounds, priors and a robust loss. Two parameters that the data tell apart only by less than this ratio of
/// singular values (without priors), or less than a prior's standard deviation (with), are named in FitResult::weak.
/// Standard errors are those of the linearised problem at the solution. Durbin & Watson, Biometrika 37 (1950) 409.
/// @throws PromiseError for shapes or ranges that are not as promised
[[nodiscard]] FitResult fit(const FitProblem& problem, const FitOptions& options = {});

/// Largest loss of singular value, against the largest, at which parameters without priors still count as told apart.
inline constexpr double kWeakRatio = 1e-7;

}  // namespace bakewright::tune
