#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <utility>
#include <vector>

#include "bakewright/thermal/steppers/sparsity_pattern.hpp"

namespace bakewright::thermal {

/// Where a flow of heat goes and what it depends on, as rows of the state; kNone where there is none.
struct FlowEdge {
    static constexpr std::uint32_t kNone = 0xffffffffU;
    std::uint32_t from = kNone;     ///< loses it
    std::uint32_t to = kNone;       ///< gains it
    std::uint32_t account = kNone;  ///< books it
    std::uint32_t first = kNone;    ///< its two arguments: columns of the Jacobian
    std::uint32_t second = kNone;
};

/// Adds up the flows of a network's edges by row, and their slopes by entry of the Jacobian.
///
/// Whoever knows the edges writes one flow an edge, or two slopes an edge (by its first and by its second argument), into a list;
/// the sums are then gathered row by row. Adding to the rows edge by edge would make every edge wait for the one before, since
/// all share the booth's air.
class FlowMap {
public:
    FlowMap();
    /// @throws PromiseError where a row is neither below size nor kNone
    FlowMap(std::size_t size, std::span<const FlowEdge> edges);
    // Defined in the source file, so that a file compiled for another instruction set holds no copy of them.
    FlowMap(const FlowMap&);
    FlowMap(FlowMap&&) noexcept;
    FlowMap& operator=(const FlowMap&);
    FlowMap& operator=(FlowMap&&) noexcept;
    ~FlowMap();

    [[nodiscard]] const SparsityPattern& pattern() const noexcept { return pattern_; }
    [[nodiscard]] std::size_t edge_count() const noexcept { return edge_count_; }

    /// out = what flows in less what flows out, each row times its factor. Shapes: flows edge_count(), the others size values.
    template <class Real>
    void add_up_rows(std::span<const Real> flows, std::span<const Real> factors, std::span<Real> out) const {
        for (std::size_t row = 0; row < out.size(); ++row) out[row] = sum_of(rows_, row, flows) * factors[row];
    }
    /// The Jacobian's entries. Shapes: slopes twice edge_count(), factors one a row, values pattern().entry_count() values.
    template <class Real>
    void add_up_entries(std::span<const Real> slopes, std::span<const Real> factors, std::span<Real> values) const {
        for (std::size_t row = 0; row < pattern_.size(); ++row)
            for (std::uint32_t e = pattern_.row_begin()[row]; e < pattern_.row_begin()[row + 1]; ++e)
                values[e] = sum_of(entries_, e, slopes) * factors[row];
    }

private:
    /// For each sum, the places it adds, and behind them those it takes away.
    struct Sums {
        std::vector<std::uint32_t> begin, minus_begin, place;
    };
    struct Term {
        std::uint32_t sum, place;
        bool is_minus;
    };
    static Sums sums_of(std::size_t count, const std::vector<Term>& terms);

    template <class Real>
    [[gnu::always_inline]] static Real sum_of(const Sums& sums, std::size_t index, std::span<const Real> of) {
        Real plus{}, minus{};
        const std::uint32_t* place = sums.place.data();
        const std::uint32_t minus_begin = sums.minus_begin[index];
        const std::uint32_t end = sums.begin[index + 1];
        std::uint32_t p = sums.begin[index];
        for (; p < minus_begin; ++p) plus += of[place[p]];
        for (; p < end; ++p) minus += of[place[p]];
        return plus - minus;
    }

    std::size_t edge_count_ = 0;
    SparsityPattern pattern_;
    Sums rows_, entries_;
};

}  // namespace bakewright::thermal
