#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "bakewright/thermal/steppers/sparsity_pattern.hpp"

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

}  // namespace bakewright::thermal
