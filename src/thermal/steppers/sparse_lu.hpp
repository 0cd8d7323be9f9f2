// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "steppers/lanes.hpp"
#include "steppers/sparsity_pattern.hpp"

namespace bakewright::thermal {

/// The symbolic half of a sparse LU factorisation: which numbers meet which, worked out once for a pattern.
///
/// The matrix A is reordered symmetrically to P A P' so that little fills in (approximate minimum degree: Amestoy, Davis &
/// Duff, SIAM J. Matrix Anal. Appl. 17 (1996) 886), then L U = P A P' with a unit diagonal in L, row by row (Doolittle's order,
/// Golub & Van Loan, Matrix Computations, 3rd ed., section 3.2). There is no pivoting, so every factorisation does the same
/// operations on the same places and can be run for many matrices at once, one a SIMD lane.
///
/// Why no pivoting is needed: the matrix is I/(gamma h) - J with J the Jacobian of a thermal network. Heat that leaves one
/// place arrives at another, so J has rates >= 0 off its diagonal and rows (sources aside) that sum to at most zero: I/(gamma h)
/// - J is a strictly row diagonally dominant M-matrix for every h > 0, and elimination without pivoting is then stable with a
/// growth factor of at most 2 (Higham, Accuracy and Stability of Numerical Algorithms, 2nd ed., chapter 9), in any symmetric
/// order. A few rows that break the rule (a controller, heat accounts) leave it true for steps shorter than their own time
/// scale, and an inaccurate solve shows as a large error estimate, a pivot of zero as one that is not finite: the step is
/// then taken again, shorter.
///
/// Places: the strictly lower entries row by row, then the strictly upper ones row by row, then the diagonal.
struct SparseLuProgram {
    explicit SparseLuProgram(const SparsityPattern& pattern);
    // Defined in the source file, so that a file compiled for another instruction set holds no copy of them.
    SparseLuProgram(const SparseLuProgram&);
    SparseLuProgram(SparseLuProgram&&) noexcept;
    SparseLuProgram& operator=(const SparseLuProgram&);
    SparseLuProgram& operator=(SparseLuProgram&&) noexcept;
    ~SparseLuProgram();

    std::vector<std::uint32_t> old_of_new;      ///< row i of the reordered matrix is row old_of_new[i] of the given one
    std::vector<std::uint32_t> place_of_entry;  ///< where each entry of the pattern goes
    std::vector<std::uint32_t> lower_begin;     ///< places of row i of L: lower_begin[i] up to lower_begin[i + 1]
    std::vector<std::uint32_t> upper_begin;     ///< places of row i of U without its diagonal, counted from upper_offset
    std::vector<std::uint32_t> column;          ///< column of each place of L and U, in the new order
    std::vector<std::uint32_t> target;          ///< place that each product l_ik u_kj is taken from, in the order of the work
    std::uint32_t upper_offset = 0;             ///< count of strictly lower entries
    std::uint32_t diagonal_offset = 0;          ///< count of strictly lower and upper entries

    [[nodiscard]] std::size_t size() const noexcept { return old_of_new.size(); }
    [[nodiscard]] std::size_t place_count() const noexcept { return diagonal_offset + size(); }
    /// Multiplications and subtractions of one factorisation.
    [[nodiscard]] std::size_t operation_count() const noexcept { return target.size(); }
};

/// The numeric half of a sparse LU factorisation (see SparseLuProgram). With a pack for Real each lane is a matrix of its own.
template <class Real>
class SparseLu {
public:
    using Scalar = lane_scalar_t<Real>;

    /// Works out the program of a pattern, unless it is the pattern at hand.
    void analyse(const SparsityPattern& pattern) {
        if (pattern == pattern_ && program_.size() == pattern.size()) return;
        pattern_ = pattern;
        program_ = SparseLuProgram(pattern);
        values_.assign(program_.place_count(), Real{});
        inverse_diagonal_.assign(program_.size(), Real{});
        work_.assign(program_.size(), Real{});
    }

    /// Factorises shift I - J. Shapes: jacobian holds the pattern's entry_count() values.
    /// A pivot of zero or not finite makes the solutions not finite; nothing is thrown.
    void factorise(Scalar shift, std::span<const Real> jacobian) {
        const std::size_t n = program_.size();
        std::fill(values_.begin(), values_.end(), Real{});
        Real* const value = values_.data();
        const std::uint32_t* const place = program_.place_of_entry.data();
        for (std::size_t e = 0; e < jacobian.size(); ++e) value[place[e]] = -jacobian[e];
        const std::uint32_t* target = program_.target.data();
        for (std::size_t i = 0; i < n; ++i) target = eliminate_row(i, shift, target);
    }

    /// Solves (shift I - J) x = b. Shapes: both hold size() values; they may be the same.
    void solve(std::span<const Real> b, std::span<Real> x) {
        forward(b.data());
        backward(x.data());
    }

    [[nodiscard]] const SparseLuProgram& program() const noexcept { return program_; }

private:
    /// Takes from row i its multiples of the rows above. Returns the first target of the next row.
    const std::uint32_t* eliminate_row(std::size_t i, Scalar shift, const std::uint32_t* target) {
        Real* const value = values_.data();
        const Real* const upper = value + program_.upper_offset;
        Real& diagonal = value[program_.diagonal_offset + i];
        diagonal += shift;
        for (std::uint32_t p = program_.lower_begin[i]; p < program_.lower_begin[i + 1]; ++p) {
            const std::uint32_t k = program_.column[p];
            const Real factor = value[p] * inverse_diagonal_[k];
            value[p] = factor;
            for (std::uint32_t u = program_.upper_begin[k]; u < program_.upper_begin[k + 1]; ++u)
                value[*target++] -= factor * upper[u];
        }
        inverse_diagonal_[i] = Scalar{1} / diagonal;
        return target;
    }

    void forward(const Real* b) {
        const Real* const value = values_.data();
        const std::uint32_t* const column = program_.column.data();
        const std::uint32_t* const begin = program_.lower_begin.data();
        const std::uint32_t* const old_of_new = program_.old_of_new.data();
        Real* const work = work_.data();
        for (std::size_t i = 0, n = program_.size(); i < n; ++i)
            work[i] = b[old_of_new[i]] - row_product(value, column, work, begin[i], begin[i + 1]);
    }

    void backward(Real* x) {
        const Real* const value = values_.data() + program_.upper_offset;
        const std::uint32_t* const column = program_.column.data() + program_.upper_offset;
        const std::uint32_t* const begin = program_.upper_begin.data();
        Real* const work = work_.data();
        for (std::size_t i = program_.size(); i-- > 0;) {
            work[i] = (work[i] - row_product(value, column, work, begin[i], begin[i + 1])) * inverse_diagonal_[i];
            x[program_.old_of_new[i]] = work[i];
        }
    }

    /// Sum of value times work over a row. Two sums, so that the long row of the booth's air does not wait for each addition.
    static Real row_product(const Real* value, const std::uint32_t* column, const Real* work, std::uint32_t p,
                            std::uint32_t end) {
        Real even{};
        Real odd{};
        for (; p + 1 < end; p += 2) {
            even += value[p] * work[column[p]];
            odd += value[p + 1] * work[column[p + 1]];
        }
        if (p < end) even += value[p] * work[column[p]];
        return even + odd;
    }

    SparsityPattern pattern_;
    SparseLuProgram program_{SparsityPattern{}};
    std::vector<Real> values_, inverse_diagonal_, work_;
};

}  // namespace bakewright::thermal
