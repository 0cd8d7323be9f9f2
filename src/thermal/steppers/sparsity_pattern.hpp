// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <concepts>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <utility>
#include <vector>

namespace bakewright::thermal {

/// Where a square matrix may be non-zero, in compressed rows: the columns of row i are columns()[row_begin()[i]] up to, not
/// including, columns()[row_begin()[i + 1]], rising. Structurally symmetric, with every diagonal entry.
class SparsityPattern {
public:
    // Defined in the source file, so that a file compiled for another instruction set holds no copy of them.
    SparsityPattern();
    SparsityPattern(const SparsityPattern&);
    SparsityPattern(SparsityPattern&&) noexcept;
    SparsityPattern& operator=(const SparsityPattern&);
    SparsityPattern& operator=(SparsityPattern&&) noexcept;
    ~SparsityPattern();

    /// The pattern that holds the given (row, column) pairs, their mirror images and the diagonal. Pairs may repeat.
    /// @throws PromiseError where a row or column is not below size
    SparsityPattern(std::size_t size, std::span<const std::pair<std::uint32_t, std::uint32_t>> entries);

    [[nodiscard]] std::size_t size() const noexcept { return row_begin_.size() - 1; }
    [[nodiscard]] std::size_t entry_count() const noexcept { return columns_.size(); }
    /// size() + 1 values.
    [[nodiscard]] std::span<const std::uint32_t> row_begin() const noexcept { return row_begin_; }
    /// entry_count() values.
    [[nodiscard]] std::span<const std::uint32_t> columns() const noexcept { return columns_; }
    /// Index of an entry among the values. @throws PromiseError where the pattern does not hold it
    [[nodiscard]] std::uint32_t position(std::size_t row, std::size_t column) const;

    [[nodiscard]] bool operator==(const SparsityPattern& other) const;

private:
    std::vector<std::uint32_t> row_begin_{0};
    std::vector<std::uint32_t> columns_;
};

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

/// A system of ordinary differential equations dy/dt = f(t, y) that the steppers of this folder can integrate.
///
/// Real is double, or a pack (Lanes) whose lanes are different members of an ensemble: the same equations with other numbers.
/// Time is one double for all lanes. Every span holds size() values, those of jacobian() pattern().entry_count().
///
///  - rates(t, y, dydt):              f(t, y)
///  - pattern():                      where df/dy may be non-zero; structurally symmetric, diagonal included; the same object
///                                    with the same content for as long as the system is integrated
///  - jacobian(t, y, values):         df/dy, in the pattern's order (row by row, columns rising)
///  - time_derivative(t, y, dfdt):    the partial derivative df/dt with y held; all zero where f does not name the time
///
/// An inexact df/dy or df/dt costs the linearly implicit stepper its order; it is not found out at run time, so test it
/// against differences.
template <class System, class Real>
concept DifferentiableSystem = requires(const System& system, double time_s, std::span<const Real> y, std::span<Real> out) {
    { system.size() } -> std::convertible_to<std::size_t>;
    { system.pattern() } -> std::same_as<const SparsityPattern&>;
    system.rates(time_s, y, out);
    system.jacobian(time_s, y, out);
    system.time_derivative(time_s, y, out);
};

/// A system that tells rates, Jacobian and time derivative at one point for less than the three.
template <class System, class Real>
concept LinearisingSystem = requires(const System& system, double time_s, std::span<const Real> y, std::span<Real> out) {
    system.linearise(time_s, y, out, out, out);
};

/// A system that can name its components, for error messages.
template <class System>
concept NamedSystem = requires(const System& system, std::size_t index) {
    { system.name(index) } -> std::convertible_to<std::string>;
};

}  // namespace bakewright::thermal
