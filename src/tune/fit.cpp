#include "bakewright/tune/fit.hpp"

#include <ceres/ceres.h>

#include <algorithm>
#include <cmath>

#include "bakewright/base/error.hpp"
#include "fit_statistics.hpp"

namespace bakewright::tune {
namespace {

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

}  // namespace bakewright::tune
