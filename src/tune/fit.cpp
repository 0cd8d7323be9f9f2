// SPDX-License-Identifier: Apache-2.0
#include "bakewright/tune/fit.hpp"

#include <ceres/ceres.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <vector>

#include "bakewright/base/error.hpp"

namespace bakewright::tune {
namespace {

using Matrix = Eigen::MatrixXd;

using Vector = Eigen::VectorXd;

constexpr double kNamedShare = 0.3;  // a tenth of a direction's square

/// The Jacobian with each row times the root of its robust weight.
Matrix weighted_jacobian(const FitResult& result, const FitOptions& options, const std::vector<double>& jacobian) {
    const auto rows = static_cast<Eigen::Index>(result.residual.size());
    const auto columns = static_cast<Eigen::Index>(result.value.size());
    using RowMajor = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
    Matrix weighted = Eigen::Map<const RowMajor>(jacobian.data(), rows, columns);
    if (!options.robust_from) return weighted;
    for (Eigen::Index row = 0; row < rows; ++row) {
        const double size = std::abs(result.residual[static_cast<std::size_t>(row)]);
        if (size > *options.robust_from) weighted.row(row) *= std::sqrt(*options.robust_from / size);
    }
    return weighted;
}

Vector column_scales(const FitProblem& problem, const Matrix& jacobian) {
    Vector scale(jacobian.cols());
    for (Eigen::Index p = 0; p < scale.size(); ++p) {
        const FitParameter& parameter = problem.parameters[static_cast<std::size_t>(p)];
        const double length = jacobian.col(p).norm();
        scale[p] = parameter.prior_standard.value_or(length > 0.0 ? 1.0 / length : 1.0);
    }
    return scale;
}

/// A matrix of as many rows as columns at most, with the same singular values and right directions: R of Q R.
Matrix condensed(const Matrix& matrix) {
    if (matrix.rows() <= matrix.cols()) return matrix;
    const Eigen::HouseholderQR<Matrix> factors(matrix);
    return factors.matrixQR().topRows(matrix.cols()).triangularView<Eigen::Upper>();
}

WeakCombination combination(const Vector& direction, double singular_value) {
    WeakCombination made{singular_value, {}};
    for (Eigen::Index p = 0; p < direction.size(); ++p)
        if (std::abs(direction[p]) >= kNamedShare) made.shares.push_back({static_cast<std::size_t>(p), direction[p]});
    std::stable_sort(made.shares.begin(), made.shares.end(),
                     [](const auto& a, const auto& b) { return std::abs(a.weight) > std::abs(b.weight); });
    return made;
}

void add_identifiability(FitResult& result, const FitProblem& problem, const Matrix& scaled) {
    const Eigen::JacobiSVD<Matrix> svd(condensed(scaled), Eigen::ComputeFullV);
    Vector values = Vector::Zero(scaled.cols());
    values.head(svd.singularValues().size()) = svd.singularValues();
    const bool has_priors = std::all_of(problem.parameters.begin(), problem.parameters.end(),
                                        [](const FitParameter& parameter) { return parameter.prior_standard.has_value(); });
    const double least = has_priors ? 1.0 : kWeakRatio * values[0];
    for (Eigen::Index i = 0; i < values.size(); ++i) {
        result.singular_value.push_back(values[i]);
        if (!(values[i] > least)) result.weak.push_back(combination(svd.matrixV().col(i), values[i]));
    }
}

/// Residuals less what the data determine: each parameter by the share of its information that is the data's.
double degrees_of_freedom(const FitResult& result, const FitProblem& problem, const Matrix& information) {
    double free = static_cast<double>(result.residual.size());
    for (std::size_t p = 0; p < problem.parameters.size(); ++p) {
        const auto index = static_cast<Eigen::Index>(p);
        const auto& prior = problem.parameters[p].prior_standard;
        free -= information(index, index) / (information(index, index) + (prior ? 1.0 / (*prior * *prior) : 0.0));
    }
    return std::max(1.0, free);
}

/// The inverse of the scaled information; infinite where a parameter is told by nothing.
void add_covariance(FitResult& result, const Matrix& scaled, const Vector& scale, const Vector& prior_weight, double variance) {
    const Eigen::Index count = scaled.cols();
    Matrix stacked(scaled.rows() + count, count);
    stacked.topRows(scaled.rows()) = scaled / std::sqrt(variance);
    stacked.bottomRows(count) = prior_weight.asDiagonal();
    const Eigen::JacobiSVD<Matrix> svd(condensed(stacked), Eigen::ComputeThinV);
    const Vector& values = svd.singularValues();
    Vector inverse(count);
    for (Eigen::Index i = 0; i < count; ++i) {
        const bool is_told = values[i] > 1e-14 * values[0] && values[i] > 0.0;
        inverse[i] = is_told ? 1.0 / values[i] : std::numeric_limits<double>::infinity();
    }
    const auto& directions = svd.matrixV();
    result.covariance.assign(static_cast<std::size_t>(count * count), 0.0);
    for (Eigen::Index a = 0; a < count; ++a) {
        for (Eigen::Index b = 0; b < count; ++b) {
            double sum = 0.0;
            for (Eigen::Index i = 0; i < count; ++i) {
                const double weight = directions(a, i) * directions(b, i);
                if (weight != 0.0 && (std::isfinite(inverse[i]) || std::abs(weight) > 1e-12))
                    sum += weight * inverse[i] * inverse[i];
            }
            result.covariance[static_cast<std::size_t>(a * count + b)] = sum * scale[a] * scale[b];
        }
        result.standard_error.push_back(std::sqrt(result.covariance[static_cast<std::size_t>(a * count + a)]));
    }
}

void add_autocorrelation(FitResult& result, const FitProblem& problem) {
    const std::vector<std::pair<std::size_t, std::size_t>> whole{{0, result.residual.size()}};
    double products = 0.0, squares = 0.0, differences = 0.0;
    for (const auto& [begin, end] : problem.series.empty() ? whole : problem.series) {
        for (std::size_t i = begin; i < end; ++i) {
            squares += result.residual[i] * result.residual[i];
            if (i == begin) continue;
            products += result.residual[i] * result.residual[i - 1];
            differences += (result.residual[i] - result.residual[i - 1]) * (result.residual[i] - result.residual[i - 1]);
        }
    }
    if (squares <= 0.0) return;
    result.lag_one = products / squares;
    result.durbin_watson = differences / squares;
}

/// Fills in what follows from values, residuals and the Jacobian at the solution: errors, identifiability, autocorrelation.
void add_statistics(FitResult& result, const FitProblem& problem, const FitOptions& options,
                    const std::vector<double>& jacobian) {
    const Matrix weighted = weighted_jacobian(result, options, jacobian);
    const Vector scale = column_scales(problem, weighted);
    const Matrix scaled = weighted * scale.asDiagonal();
    add_identifiability(result, problem, scaled);
    for (const double residual : result.residual) result.sum_of_squares += residual * residual;
    result.degrees_of_freedom = degrees_of_freedom(result, problem, weighted.transpose() * weighted);
    result.scatter = std::sqrt(result.sum_of_squares / result.degrees_of_freedom);
    Vector prior_weight = Vector::Zero(scale.size());
    for (Eigen::Index p = 0; p < scale.size(); ++p)
        if (problem.parameters[static_cast<std::size_t>(p)].prior_standard) prior_weight[p] = 1.0;  // in units of its own scale
    const double variance = options.scatter_from_residuals ? result.scatter * result.scatter : 1.0;
    add_covariance(result, scaled, scale, prior_weight, variance > 0.0 ? variance : 1.0);
    for (std::size_t p = 0; p < result.value.size(); ++p) {
        const FitParameter& parameter = problem.parameters[p];
        const double near = 1e-9 * std::max(1.0, std::abs(result.value[p]));
        result.at_bound.push_back(result.value[p] - parameter.lower <= near || parameter.upper - result.value[p] <= near);
    }
    add_autocorrelation(result, problem);
}

void check(const FitProblem& problem, const FitOptions& options) {
    ensure(!problem.parameters.empty() && problem.residual_count > 0, "a fit has parameters and residuals");
    for (const FitParameter& parameter : problem.parameters) {
        ensure(parameter.lower < parameter.upper, "bounds of a parameter lie in order");
        ensure(parameter.start >= parameter.lower && parameter.start <= parameter.upper, "a parameter starts within its bounds");
        ensure(!parameter.prior_standard || *parameter.prior_standard > 0.0, "a prior's standard deviation is positive");
    }
    ensure(!options.robust_from || *options.robust_from > 0.0, "residuals are robust from a positive number on");
}

/// Residuals and derivatives of all observations at one point: computed once, read by every residual block.
class Point final : public ceres::EvaluationCallback {
public:
    Point(const FitProblem& problem, std::vector<double>& value)
        : problem_(problem), value_(value), residual_(problem.residual_count) {}

    void PrepareForEvaluation(bool wants_jacobian, bool is_new) override {
        if (!is_new && (has_jacobian_ || !wants_jacobian)) return;
        ++evaluations_;
        has_jacobian_ = wants_jacobian;
        jacobian_.resize(wants_jacobian ? problem_.residual_count * problem_.parameters.size() : 0);
        is_good_ = problem_.evaluate(value_, residual_, jacobian_);
        const auto finite = [](double number) { return std::isfinite(number); };
        is_good_ = is_good_ && std::all_of(residual_.begin(), residual_.end(), finite) &&
                   std::all_of(jacobian_.begin(), jacobian_.end(), finite);
    }
    [[nodiscard]] bool is_good() const noexcept { return is_good_; }
    [[nodiscard]] std::size_t evaluations() const noexcept { return evaluations_; }
    [[nodiscard]] const std::vector<double>& residual() const noexcept { return residual_; }
    [[nodiscard]] const std::vector<double>& jacobian() const noexcept { return jacobian_; }

private:
    const FitProblem& problem_;
    std::vector<double>& value_;
    std::vector<double> residual_, jacobian_;
    bool has_jacobian_ = false, is_good_ = false;
    std::size_t evaluations_ = 0;
};

class Observation final : public ceres::CostFunction {
public:
    Observation(const Point& point, std::size_t index, std::size_t parameter_count) : point_(point), index_(index) {
        set_num_residuals(1);
        mutable_parameter_block_sizes()->push_back(static_cast<int>(parameter_count));
    }
    bool Evaluate(double const* const*, double* residual, double** jacobian) const override {
        if (!point_.is_good()) return false;
        *residual = point_.residual()[index_];
        if (jacobian == nullptr || jacobian[0] == nullptr) return true;
        const auto count = static_cast<std::size_t>(parameter_block_sizes()[0]);
        std::copy_n(point_.jacobian().begin() + static_cast<std::ptrdiff_t>(index_ * count), count, jacobian[0]);
        return true;
    }

private:
    const Point& point_;
    std::size_t index_;
};

/// (parameter - mean) / standard deviation
class Prior final : public ceres::CostFunction {
public:
    Prior(const FitParameter& parameter, std::size_t index, std::size_t parameter_count) : parameter_(parameter), index_(index) {
        set_num_residuals(1);
        mutable_parameter_block_sizes()->push_back(static_cast<int>(parameter_count));
    }
    bool Evaluate(double const* const* values, double* residual, double** jacobian) const override {
        *residual = (values[0][index_] - parameter_.prior_mean) / *parameter_.prior_standard;
        if (jacobian == nullptr || jacobian[0] == nullptr) return true;
        std::fill_n(jacobian[0], parameter_block_sizes()[0], 0.0);
        jacobian[0][index_] = 1.0 / *parameter_.prior_standard;
        return true;
    }

private:
    const FitParameter& parameter_;
    std::size_t index_;
};

void add_blocks(ceres::Problem& ceres_problem, const FitProblem& problem, const FitOptions& options, Point& point,
                std::vector<double>& value) {
    const std::size_t count = value.size();
    for (std::size_t i = 0; i < problem.residual_count; ++i)
        ceres_problem.AddResidualBlock(new Observation(point, i, count),
                                       options.robust_from ? new ceres::HuberLoss(*options.robust_from) : nullptr, value.data());
    for (std::size_t p = 0; p < count; ++p) {
        const FitParameter& parameter = problem.parameters[p];
        if (parameter.prior_standard) ceres_problem.AddResidualBlock(new Prior(parameter, p, count), nullptr, value.data());
        const int index = static_cast<int>(p);
        if (std::isfinite(parameter.lower)) ceres_problem.SetParameterLowerBound(value.data(), index, parameter.lower);
        if (std::isfinite(parameter.upper)) ceres_problem.SetParameterUpperBound(value.data(), index, parameter.upper);
    }
}

/// Priors on all parameters bound the condition of a step, and the normal equations will do, in half the time.
ceres::Solver::Options solver_options(const FitProblem& problem, const FitOptions& options) {
    const bool has_priors = std::all_of(problem.parameters.begin(), problem.parameters.end(),
                                        [](const FitParameter& parameter) { return parameter.prior_standard.has_value(); });
    ceres::Solver::Options made;
    made.linear_solver_type = has_priors ? ceres::DENSE_NORMAL_CHOLESKY : ceres::DENSE_QR;
    made.max_num_iterations = static_cast<int>(options.largest_iteration_count);
    made.function_tolerance = options.tolerance;
    made.parameter_tolerance = options.tolerance;
    made.gradient_tolerance = 1e-16;  // its unit depends on the parameters': cost and step decide
    made.max_trust_region_radius = 1e16;
    made.logging_type = ceres::SILENT;
    return made;
}

}  // namespace

FitResult fit(const FitProblem& problem, const FitOptions& options) {
    check(problem, options);
    FitResult result;
    for (const FitParameter& parameter : problem.parameters) result.value.push_back(parameter.start);
    Point point(problem, result.value);
    ceres::Problem::Options problem_options;
    problem_options.evaluation_callback = &point;
    ceres::Problem ceres_problem(problem_options);
    add_blocks(ceres_problem, problem, options, point, result.value);
    ceres::Solver::Summary summary;
    ceres::Solve(solver_options(problem, options), &ceres_problem, &summary);
    result.converged = summary.termination_type == ceres::CONVERGENCE;
    result.message = summary.message;
    result.iterations = static_cast<std::size_t>(std::max(0, summary.num_successful_steps + summary.num_unsuccessful_steps));
    point.PrepareForEvaluation(true, true);
    result.evaluations = point.evaluations();
    result.residual = point.residual();
    if (!point.is_good()) {
        result.converged = false;
        result.standard_error.assign(result.value.size(), std::numeric_limits<double>::infinity());
        result.covariance.assign(result.value.size() * result.value.size(), std::numeric_limits<double>::infinity());
        return result;
    }
    add_statistics(result, problem, options, point.jacobian());
    return result;
}

double FitResult::correlation(std::size_t a, std::size_t b) const {
    const double scale = standard_error[a] * standard_error[b];
    return std::isfinite(scale) && scale > 0.0 ? covariance[a * value.size() + b] / scale : 0.0;
}

}  // namespace bakewright::tune
