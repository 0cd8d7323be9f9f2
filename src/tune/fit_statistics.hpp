#pragma once

#include <vector>

#include "bakewright/tune/fit.hpp"

namespace bakewright::tune {

/// Fills in what follows from values, residuals and the Jacobian at the solution: errors, identifiability, autocorrelation.
void add_statistics(FitResult& result, const FitProblem& problem, const FitOptions& options, const std::vector<double>& jacobian);

}  // namespace bakewright::tune
