#include "bakewright/thermal/steppers/sparsity_pattern.hpp"

#include <algorithm>

#include "bakewright/base/error.hpp"

namespace bakewright::thermal {

SparsityPattern::SparsityPattern() = default;
SparsityPattern::SparsityPattern(const SparsityPattern&) = default;
SparsityPattern::SparsityPattern(SparsityPattern&&) noexcept = default;
SparsityPattern& SparsityPattern::operator=(const SparsityPattern&) = default;
SparsityPattern& SparsityPattern::operator=(SparsityPattern&&) noexcept = default;
SparsityPattern::~SparsityPattern() = default;
bool SparsityPattern::operator==(const SparsityPattern& other) const {
    return row_begin_ == other.row_begin_ && columns_ == other.columns_;
}

SparsityPattern::SparsityPattern(std::size_t size, std::span<const std::pair<std::uint32_t, std::uint32_t>> entries) {
    std::vector<std::pair<std::uint32_t, std::uint32_t>> all;
    all.reserve(2 * entries.size() + size);
    for (const auto& [row, column] : entries) {
        ensure(row < size && column < size, "an entry of a sparsity pattern lies inside the matrix");
        all.emplace_back(row, column);
        all.emplace_back(column, row);
    }
    for (std::uint32_t i = 0; i < size; ++i) all.emplace_back(i, i);
    std::sort(all.begin(), all.end());
    all.erase(std::unique(all.begin(), all.end()), all.end());

    row_begin_.assign(size + 1, 0);
    for (const auto& [row, column] : all) {
        ++row_begin_[row + 1];
        columns_.push_back(column);
    }
    for (std::size_t i = 0; i < size; ++i) row_begin_[i + 1] += row_begin_[i];
}

std::uint32_t SparsityPattern::position(std::size_t row, std::size_t column) const {
    ensure(row < size(), "a row lies inside the matrix");
    const auto first = columns_.begin() + row_begin_[row];
    const auto last = columns_.begin() + row_begin_[row + 1];
    const auto found = std::lower_bound(first, last, column);
    ensure(found != last && *found == column, "the sparsity pattern holds the entry");
    return static_cast<std::uint32_t>(found - columns_.begin());
}

}  // namespace bakewright::thermal
