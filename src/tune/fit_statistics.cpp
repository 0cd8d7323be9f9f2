#include "fit_statistics.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

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

}  // namespace

double FitResult::correlation(std::size_t a, std::size_t b) const {
    const double scale = standard_error[a] * standard_error[b];
    return std::isfinite(scale) && scale > 0.0 ? covariance[a * value.size() + b] / scale : 0.0;
}

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

}  // namespace bakewright::tune
