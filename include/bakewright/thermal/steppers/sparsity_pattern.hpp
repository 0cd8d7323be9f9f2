#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
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

}  // namespace bakewright::thermal
