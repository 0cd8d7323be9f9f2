#include "bakewright/thermal/steppers/chebyshev_coefficients.hpp"

#include <algorithm>
#include <cmath>

#include "bakewright/base/error.hpp"

namespace bakewright::thermal {

namespace {

/// Chebyshev polynomial of the first kind and its first two derivatives.
struct Polynomial {
    double value, slope, bend;
};

/// Degrees 0 up to degree, by their recursion.
std::vector<Polynomial> chebyshev_polynomials(std::size_t degree, double x) {
    std::vector<Polynomial> p{{1.0, 0.0, 0.0}, {x, 1.0, 0.0}};
    for (std::size_t j = 2; j <= degree; ++j) {
        const Polynomial& one = p[j - 1];
        const Polynomial& two = p[j - 2];
        p.push_back({2.0 * x * one.value - two.value, 2.0 * (one.value + x * one.slope) - two.slope,
                     2.0 * (2.0 * one.slope + x * one.bend) - two.bend});
    }
    return p;
}

}  // namespace

std::vector<ChebyshevStage> chebyshev_stages(std::size_t stage_count) {
    ensure(stage_count >= 2, "a Chebyshev step has at least two stages");
    constexpr double kDamping = 2.0 / 13.0;
    const double w0 = 1.0 + kDamping / static_cast<double>(stage_count * stage_count);
    const std::vector<Polynomial> p = chebyshev_polynomials(stage_count, w0);
    const double w1 = p[stage_count].slope / p[stage_count].bend;
    std::vector<double> b(stage_count + 1);
    for (std::size_t j = 2; j <= stage_count; ++j) b[j] = p[j].bend / (p[j].slope * p[j].slope);
    b[0] = b[1] = b[2];

    std::vector<ChebyshevStage> stages{{0.0, 0.0, b[1] * w1, 0.0, b[1] * w1}};
    for (std::size_t j = 2; j <= stage_count; ++j) {
        ChebyshevStage stage{};
        stage.mu = 2.0 * w0 * b[j] / b[j - 1];
        stage.nu = -b[j] / b[j - 2];
        stage.mu_rate = 2.0 * w1 * b[j] / b[j - 1];
        stage.gamma_rate = -(1.0 - b[j - 1] * p[j - 1].value) * stage.mu_rate;
        // The time goes through the same recursion as any component whose rate is 1.
        stage.c = stage.mu * stages[j - 2].c + (j > 2 ? stage.nu * stages[j - 3].c : 0.0) + stage.mu_rate + stage.gamma_rate;
        stages.push_back(stage);
    }
    return stages;
}

std::size_t chebyshev_stage_count(double step_times_radius) {
    if (!(step_times_radius < 1e12)) return 2;
    return std::max<std::size_t>(2, 1 + static_cast<std::size_t>(std::sqrt(1.54 * step_times_radius + 1.0)));
}

}  // namespace bakewright::thermal
