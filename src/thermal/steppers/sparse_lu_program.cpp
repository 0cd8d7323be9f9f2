#include "bakewright/thermal/steppers/sparse_lu_program.hpp"

#include <Eigen/OrderingMethods>
#include <Eigen/SparseCore>
#include <algorithm>
#include <set>

namespace bakewright::thermal {

namespace {

/// Order in which elimination fills in little: old index of each new one.
std::vector<std::uint32_t> fill_reducing_order(const SparsityPattern& pattern) {
    const int n = static_cast<int>(pattern.size());
    if (n == 0) return {};
    std::vector<Eigen::Triplet<double>> triplets;
    for (std::size_t i = 0; i < pattern.size(); ++i)
        for (std::uint32_t p = pattern.row_begin()[i]; p < pattern.row_begin()[i + 1]; ++p)
            triplets.emplace_back(static_cast<int>(i), static_cast<int>(pattern.columns()[p]), 1.0);
    Eigen::SparseMatrix<double> matrix(n, n);
    matrix.setFromTriplets(triplets.begin(), triplets.end());
    Eigen::PermutationMatrix<Eigen::Dynamic, Eigen::Dynamic, int> old_of_new;
    Eigen::AMDOrdering<int>()(matrix, old_of_new);
    const auto& indices = old_of_new.indices();
    return {indices.data(), indices.data() + n};
}

/// Columns of each row of L and U together, strictly lower and strictly upper: a row takes over, from each row it is reduced
/// by, what stands right of the pivot.
struct FilledRows {
    std::vector<std::vector<std::uint32_t>> lower, upper;
};

FilledRows filled_rows(const SparsityPattern& pattern, const std::vector<std::uint32_t>& old_of_new) {
    const std::size_t n = pattern.size();
    std::vector<std::uint32_t> new_of_old(n);
    for (std::uint32_t i = 0; i < n; ++i) new_of_old[old_of_new[i]] = i;
    FilledRows rows{std::vector<std::vector<std::uint32_t>>(n), std::vector<std::vector<std::uint32_t>>(n)};
    for (std::uint32_t i = 0; i < n; ++i) {
        std::set<std::uint32_t> columns;
        const std::uint32_t old = old_of_new[i];
        for (std::uint32_t p = pattern.row_begin()[old]; p < pattern.row_begin()[old + 1]; ++p)
            columns.insert(new_of_old[pattern.columns()[p]]);
        // Columns that fill in come behind the one at hand, so walking the growing set meets them too.
        for (auto it = columns.begin(); it != columns.end() && *it < i; ++it) {
            const auto& right_of_pivot = rows.upper[*it];
            columns.insert(right_of_pivot.begin(), right_of_pivot.end());
        }
        rows.lower[i].assign(columns.begin(), columns.find(i));
        rows.upper[i].assign(columns.upper_bound(i), columns.end());
    }
    return rows;
}

std::vector<std::uint32_t> running_total(const std::vector<std::vector<std::uint32_t>>& rows) {
    std::vector<std::uint32_t> begin{0};
    for (const auto& row : rows) begin.push_back(begin.back() + static_cast<std::uint32_t>(row.size()));
    return begin;
}

/// Place of an entry of the reordered matrix; the factors hold it.
std::uint32_t place_of(const SparseLuProgram& program, std::uint32_t row, std::uint32_t column) {
    if (row == column) return program.diagonal_offset + row;
    const bool is_lower = column < row;
    const std::uint32_t offset = is_lower ? 0 : program.upper_offset;
    const std::vector<std::uint32_t>& begin = is_lower ? program.lower_begin : program.upper_begin;
    const auto first = program.column.begin() + offset + begin[row];
    const auto last = program.column.begin() + offset + begin[row + 1];
    return static_cast<std::uint32_t>(std::lower_bound(first, last, column) - program.column.begin());
}

std::vector<std::uint32_t> entry_places(const SparseLuProgram& program, const SparsityPattern& pattern) {
    std::vector<std::uint32_t> new_of_old(pattern.size());
    for (std::uint32_t i = 0; i < pattern.size(); ++i) new_of_old[program.old_of_new[i]] = i;
    std::vector<std::uint32_t> places;
    for (std::size_t i = 0; i < pattern.size(); ++i)
        for (std::uint32_t p = pattern.row_begin()[i]; p < pattern.row_begin()[i + 1]; ++p)
            places.push_back(place_of(program, new_of_old[i], new_of_old[pattern.columns()[p]]));
    return places;
}

std::vector<std::uint32_t> product_targets(const SparseLuProgram& program, const FilledRows& rows) {
    std::vector<std::uint32_t> targets;
    for (std::uint32_t i = 0; i < program.size(); ++i)
        for (const std::uint32_t k : rows.lower[i])
            for (const std::uint32_t j : rows.upper[k]) targets.push_back(place_of(program, i, j));
    return targets;
}

}  // namespace

SparseLuProgram::SparseLuProgram(const SparseLuProgram&) = default;
SparseLuProgram::SparseLuProgram(SparseLuProgram&&) noexcept = default;
SparseLuProgram& SparseLuProgram::operator=(const SparseLuProgram&) = default;
SparseLuProgram& SparseLuProgram::operator=(SparseLuProgram&&) noexcept = default;
SparseLuProgram::~SparseLuProgram() = default;

SparseLuProgram::SparseLuProgram(const SparsityPattern& pattern) : old_of_new(fill_reducing_order(pattern)) {
    const FilledRows rows = filled_rows(pattern, old_of_new);
    lower_begin = running_total(rows.lower);
    upper_begin = running_total(rows.upper);
    upper_offset = lower_begin.back();
    diagonal_offset = upper_offset + upper_begin.back();
    for (const auto& row : rows.lower) column.insert(column.end(), row.begin(), row.end());
    for (const auto& row : rows.upper) column.insert(column.end(), row.begin(), row.end());
    place_of_entry = entry_places(*this, pattern);
    target = product_targets(*this, rows);
}

}  // namespace bakewright::thermal
