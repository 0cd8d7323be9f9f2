#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <span>
#include <vector>

#include "bakewright/thermal/steppers/lanes.hpp"
#include "bakewright/thermal/steppers/sparsity_pattern.hpp"

namespace bakewright::thermal {

/// out = base + J x. Shapes: vectors hold pattern.size() values, jacobian its entry_count(); out may be base, not x.
template <class Real>
void add_product(const SparsityPattern& pattern, std::span<const Real> jacobian, std::span<const Real> x,
                 std::span<const Real> base, std::span<Real> out) {
    for (std::size_t i = 0; i < pattern.size(); ++i) {
        Real sum = base[i];
        for (std::uint32_t p = pattern.row_begin()[i]; p < pattern.row_begin()[i + 1]; ++p)
            sum += jacobian[p] * x[pattern.columns()[p]];
        out[i] = sum;
    }
}

/// The largest sum of magnitudes over a row: no eigenvalue is larger (Gershgorin; Golub & Van Loan, Matrix Computations, 3rd ed.,
/// theorem 7.2.1). Over packs, of the worst lane.
template <class Real>
[[nodiscard]] double gershgorin_bound_per_s(const SparsityPattern& pattern, std::span<const Real> jacobian) {
    Real largest{};
    Real poison{};
    for (std::size_t i = 0; i < pattern.size(); ++i) {
        Real sum{};
        for (std::uint32_t p = pattern.row_begin()[i]; p < pattern.row_begin()[i + 1]; ++p) sum += abs(jacobian[p]);
        largest = max(largest, sum);
        poison += sum * lane_scalar_t<Real>{0};
    }
    return largest_lane(Real(largest + poison));
}

/// Spectral radius [1/s] of a Jacobian with nearly real eigenvalues, for the stability of an explicit stepper: the power method
/// on the matrix, a fifth added for what it has not converged (as Sommeijer et al. do), never above Gershgorin's bound. A
/// network's bound is up to twice the radius, which would be 40 % more stages. Keeps its vector, so that the next estimate starts
/// close.
template <class Real>
class SpectralRadius {
public:
    [[nodiscard]] double estimate_per_s(const SparsityPattern& pattern, std::span<const Real> jacobian) {
        const double bound = gershgorin_bound_per_s(pattern, jacobian);
        if (!(bound > 0.0) || !(bound < 1e300)) return bound;
        start(pattern.size());
        double radius = 0.0;
        for (int iteration = 0; iteration < kMostIterations; ++iteration) {
            const double last = radius;
            radius = iterate(pattern, jacobian);
            if (std::abs(radius - last) <= 0.01 * radius) break;
        }
        return std::min(bound, 1.2 * radius);
    }

private:
    using Scalar = lane_scalar_t<Real>;
    static constexpr int kMostIterations = 40;

    void start(std::size_t size) {
        if (vector_.size() == size) return;
        vector_.assign(size, Real{});
        product_.assign(size, Real{});
        zero_.assign(size, Real{});
        // Signs that alternate, sizes that differ: no eigenvector of a network is at right angles to that but by rare chance.
        for (std::size_t i = 0; i < size; ++i)
            vector_[i] = Real{} + (i % 2 ? -1.0 : 1.0) * (1.0 + static_cast<double>(i % 7) / 7.0);
        normalise(vector_);
    }
    double iterate(const SparsityPattern& pattern, std::span<const Real> jacobian) {
        add_product<Real>(pattern, jacobian, vector_, zero_, product_);
        vector_.swap(product_);
        return largest_lane(normalise(vector_));
    }
    /// Scales to length one; returns the length before.
    static Real normalise(std::vector<Real>& vector) {
        Real squares{};
        for (const Real& value : vector) squares += value * value;
        const Real length = max(Real(sqrt(squares)), Real(Scalar(1e-30)));
        const Real inverse = Scalar{1} / length;
        for (Real& value : vector) value = value * inverse;
        return length;
    }

    std::vector<Real> vector_, product_, zero_;
};

}  // namespace bakewright::thermal
