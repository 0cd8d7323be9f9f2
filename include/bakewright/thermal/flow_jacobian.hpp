#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <utility>
#include <vector>

#include "bakewright/thermal/steppers/sparsity_pattern.hpp"

namespace bakewright::thermal {

/// Adds up how the heat flows of a network's edges change with temperatures, in the places of a sparse matrix.
///
/// An edge carries a heat flow q that leaves one row, enters another, is booked on a third, and depends on the temperatures of
/// the first two. Rows that are not solved for (boundaries, the account of what nobody books) are kNone; what would fall there
/// is dropped, by way of a place behind the last entry, so that the inner loop has no branch.
template <class Real>
class FlowJacobian {
public:
    static constexpr std::uint32_t kNone = 0xffffffffU;
    struct Edge {
        std::uint32_t from, to, account;  ///< rows; kNone where not solved for
    };

    /// A row and a column; kNone where not solved for.
    using Cell = std::pair<std::uint32_t, std::uint32_t>;

    FlowJacobian() = default;
    /// @param single_cells  places beside those of the edges, for what is no flow between two places
    /// @throws PromiseError where a row is neither below size nor kNone
    FlowJacobian(std::size_t size, std::span<const Edge> edges, std::span<const Cell> single_cells = {})
        : pattern_(size, entries_of(edges, single_cells)) {
        for (const Cell& cell : single_cells) single_cells_.push_back(position(cell.first, cell.second));
        cells_.reserve(edges.size());
        for (const Edge& edge : edges)
            cells_.push_back({position(edge.from, edge.from), position(edge.from, edge.to), position(edge.to, edge.from),
                              position(edge.to, edge.to), position(edge.account, edge.from), position(edge.account, edge.to)});
    }

    [[nodiscard]] const SparsityPattern& pattern() const noexcept { return pattern_; }
    /// Length of a vector of sums [W/K]: an entry each, and the place for what is dropped.
    [[nodiscard]] std::size_t sum_count() const noexcept { return pattern_.entry_count() + 1; }

    /// Adds an edge, by its place in the list given to the constructor, whose flow changes by so much a kelvin of its two ends.
    void add(std::size_t edge, Real per_from_w_per_k, Real per_to_w_per_k, std::span<Real> sums) const {
        const std::array<std::uint32_t, 6>& cell = cells_[edge];
        sums[cell[0]] -= per_from_w_per_k;
        sums[cell[1]] -= per_to_w_per_k;
        sums[cell[2]] += per_from_w_per_k;
        sums[cell[3]] += per_to_w_per_k;
        sums[cell[4]] += per_from_w_per_k;
        sums[cell[5]] += per_to_w_per_k;
    }

    /// Adds to a single cell, by its place in the list given to the constructor.
    void add_cell(std::size_t cell, const Real& value, std::span<Real> sums) const { sums[single_cells_[cell]] += value; }

    /// values = sums, each row times a factor of its own. Shapes: factors hold size() values, values entry_count().
    void scale_rows(std::span<const Real> sums, std::span<const Real> factors, std::span<Real> values) const {
        for (std::size_t row = 0; row < pattern_.size(); ++row)
            for (std::uint32_t e = pattern_.row_begin()[row]; e < pattern_.row_begin()[row + 1]; ++e)
                values[e] = sums[e] * factors[row];
    }

private:
    static std::vector<Cell> entries_of(std::span<const Edge> edges, std::span<const Cell> single_cells) {
        std::vector<Cell> entries;
        const auto note = [&](std::uint32_t row, std::uint32_t column) {
            if (row != kNone && column != kNone) entries.emplace_back(row, column);
        };
        for (const Edge& edge : edges) {
            note(edge.from, edge.to);
            note(edge.account, edge.from);
            note(edge.account, edge.to);
        }
        for (const Cell& cell : single_cells) note(cell.first, cell.second);
        return entries;
    }
    [[nodiscard]] std::uint32_t position(std::uint32_t row, std::uint32_t column) const {
        const bool is_dropped = row == kNone || column == kNone;
        return is_dropped ? static_cast<std::uint32_t>(pattern_.entry_count()) : pattern_.position(row, column);
    }

    SparsityPattern pattern_;
    std::vector<std::uint32_t> single_cells_;
    std::vector<std::array<std::uint32_t, 6>> cells_;  ///< where from, to and account rows meet the from and to columns
};

}  // namespace bakewright::thermal
