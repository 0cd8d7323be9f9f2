// SPDX-License-Identifier: Apache-2.0
#include "steppers/sparse_lu.hpp"

#include <Eigen/OrderingMethods>
#include <Eigen/SparseCore>
#include <algorithm>
#include <utility>

namespace bakewright::thermal {
namespace {

/// Order in which elimination fills in little: old index of each new one.
std::vector<std::uint32_t> fill_reducing_order(const SparsityPattern& pattern) {
    const int n = static_cast<int>(pattern.size());
    if (n == 0) return {};
    // Eigen's compressed matrix, from rows that are columns as well: the pattern is symmetric.
    Eigen::SparseMatrix<double> matrix(n, n);
    matrix.resizeNonZeros(static_cast<Eigen::Index>(pattern.entry_count()));
    std::copy(pattern.row_begin().begin(), pattern.row_begin().end(), matrix.outerIndexPtr());
    std::copy(pattern.columns().begin(), pattern.columns().end(), matrix.innerIndexPtr());
    std::fill_n(matrix.valuePtr(), pattern.entry_count(), 1.0);
    Eigen::PermutationMatrix<Eigen::Dynamic, Eigen::Dynamic, int> old_of_new;
    Eigen::AMDOrdering<int>()(matrix, old_of_new);
    const auto& indices = old_of_new.indices();
    return {indices.data(), indices.data() + n};
}

/// Columns of each row of L and U, strictly lower and strictly upper, rising.
struct FilledRows {
    std::vector<std::vector<std::uint32_t>> lower, upper;
};

/// The factors of a symmetric pattern fill in symmetrically: a row takes over what stands right of the pivots of those rows whose
/// first entry right of the pivot is in its own column (the elimination tree: Davis, Direct Methods for Sparse Linear Systems,
/// SIAM, 2006, chapter 4).
FilledRows filled_rows(const SparsityPattern& pattern, const std::vector<std::uint32_t>& old_of_new) {
    const std::size_t n = pattern.size();
    std::vector<std::uint32_t> new_of_old(n), last_row(n, static_cast<std::uint32_t>(n));
    for (std::uint32_t i = 0; i < n; ++i) new_of_old[old_of_new[i]] = i;
    FilledRows rows{std::vector<std::vector<std::uint32_t>>(n), std::vector<std::vector<std::uint32_t>>(n)};
    const auto none = static_cast<std::uint32_t>(n);
    std::vector<std::uint32_t> first_child(n, none), next_child(n, none);
    for (std::uint32_t i = 0; i < n; ++i) {
        std::vector<std::uint32_t>& upper = rows.upper[i];
        const auto add = [&](std::uint32_t column) {
            if (column > i && last_row[column] != i) upper.push_back(column);
            last_row[column] = i;
        };
        const std::uint32_t old = old_of_new[i];
        for (std::uint32_t p = pattern.row_begin()[old]; p < pattern.row_begin()[old + 1]; ++p)
            add(new_of_old[pattern.columns()[p]]);
        for (std::uint32_t child = first_child[i]; child != none; child = next_child[child])
            for (const std::uint32_t column : rows.upper[child]) add(column);
        std::sort(upper.begin(), upper.end());
        if (!upper.empty()) next_child[i] = std::exchange(first_child[upper.front()], i);
        for (const std::uint32_t column : upper) rows.lower[column].push_back(i);
    }
    return rows;
}

std::vector<std::uint32_t> running_total(const std::vector<std::vector<std::uint32_t>>& rows) {
    std::vector<std::uint32_t> begin{0};
    for (const auto& row : rows) begin.push_back(begin.back() + static_cast<std::uint32_t>(row.size()));
    return begin;
}

/// Where the entries of one row of the reordered matrix are, by column; of no use where the factors hold none.
class RowPlaces {
public:
    explicit RowPlaces(const SparseLuProgram& program) : program_(program), place_(program.size()) {}
    void go_to(std::uint32_t row) {
        note(program_.lower_begin, 0, row);
        note(program_.upper_begin, program_.upper_offset, row);
        place_[row] = program_.diagonal_offset + row;
    }
    [[nodiscard]] std::uint32_t operator[](std::uint32_t column) const { return place_[column]; }

private:
    void note(const std::vector<std::uint32_t>& begin, std::uint32_t offset, std::uint32_t row) {
        for (std::uint32_t p = offset + begin[row]; p < offset + begin[row + 1]; ++p) place_[program_.column[p]] = p;
    }
    const SparseLuProgram& program_;
    std::vector<std::uint32_t> place_;
};

std::vector<std::uint32_t> entry_places(const SparseLuProgram& program, const SparsityPattern& pattern) {
    std::vector<std::uint32_t> new_of_old(pattern.size());
    for (std::uint32_t i = 0; i < pattern.size(); ++i) new_of_old[program.old_of_new[i]] = i;
    std::vector<std::uint32_t> places;
    places.reserve(pattern.entry_count());
    RowPlaces row(program);
    for (std::size_t i = 0; i < pattern.size(); ++i) {
        row.go_to(new_of_old[i]);
        for (std::uint32_t p = pattern.row_begin()[i]; p < pattern.row_begin()[i + 1]; ++p)
            places.push_back(row[new_of_old[pattern.columns()[p]]]);
    }
    return places;
}

std::vector<std::uint32_t> product_targets(const SparseLuProgram& program, const FilledRows& rows) {
    std::vector<std::uint32_t> targets;
    RowPlaces row(program);
    for (std::uint32_t i = 0; i < program.size(); ++i) {
        row.go_to(i);
        for (const std::uint32_t k : rows.lower[i])
            for (const std::uint32_t j : rows.upper[k]) targets.push_back(row[j]);
    }
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
