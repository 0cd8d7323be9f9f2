// SPDX-License-Identifier: Apache-2.0
#include "steppers/sparsity_pattern.hpp"

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

namespace {

using Entry = std::pair<std::uint32_t, std::uint32_t>;

/// Entries in rising order of one of their two numbers, those with the same number in the order they come in: counted, since a
/// network is laid out anew for every solve.
template <class Number>
std::vector<Entry> ordered_by(Number number, std::size_t size, const std::vector<Entry>& entries) {
    std::vector<std::uint32_t> next(size + 1, 0);
    for (const Entry& entry : entries) ++next[number(entry) + 1];
    for (std::size_t i = 0; i < size; ++i) next[i + 1] += next[i];
    std::vector<Entry> ordered(entries.size());
    for (const Entry& entry : entries) ordered[next[number(entry)]++] = entry;
    return ordered;
}

}  // namespace

SparsityPattern::SparsityPattern(std::size_t size, std::span<const std::pair<std::uint32_t, std::uint32_t>> entries) {
    std::vector<Entry> upper;
    upper.reserve(entries.size());
    for (const auto& [row, column] : entries) {
        ensure(row < size && column < size, "an entry of a sparsity pattern lies inside the matrix");
        if (row != column) upper.push_back(std::minmax(row, column));
    }
    const auto in_order = [size](const std::vector<Entry>& some) {
        const auto by_column = ordered_by([](const Entry& entry) { return entry.second; }, size, some);
        return ordered_by([](const Entry& entry) { return entry.first; }, size, by_column);
    };
    upper = in_order(upper);
    upper.erase(std::unique(upper.begin(), upper.end()), upper.end());
    std::vector<Entry> all = upper;
    for (const auto& [row, column] : upper) all.emplace_back(column, row);
    for (std::uint32_t i = 0; i < size; ++i) all.emplace_back(i, i);
    all = in_order(all);

    row_begin_.assign(size + 1, 0);
    columns_.reserve(all.size());
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
