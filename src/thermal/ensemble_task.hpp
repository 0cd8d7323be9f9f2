// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <deque>
#include <span>
#include <type_traits>
#include <vector>

#include "bakewright/thermal/ensemble_options.hpp"
#include "tabulated_lanes.hpp"

namespace bakewright::thermal {

/// A TabulatedFunction laid out for the kernels: value and rise to the next point side by side, so that a lane is one load; in
/// double precision and in single, there by column as well.
struct FunctionTable {
    explicit FunctionTable(const TabulatedFunction& function);
    double lowest_k, per_k, last;
    std::vector<std::array<double, 2>> rows;
    std::vector<std::array<float, 2>> single_rows;
    std::vector<float> single_values, single_rises;  ///< kMargin numbers before the first and behind the last

    static constexpr std::size_t kMargin = 64;
};

namespace table {

// Concatenations of rows to vectors, and the two columns taken out of them. All inlined: source files for different instruction
// sets share none of it.
typedef double Row __attribute__((vector_size(16)));
typedef double Rows2 __attribute__((vector_size(32)));
typedef double Rows4 __attribute__((vector_size(64)));

[[gnu::always_inline]] inline void read_row(const double* rows, std::int64_t index, Row& row) {
    std::memcpy(&row, rows + 2 * index, sizeof(Row));
}
[[gnu::always_inline]] inline void read_rows(const double* rows, const std::int64_t* index, Rows2& value, Rows2& rise) {
    Row row[4];
#pragma GCC unroll 4
    for (std::size_t l = 0; l < 4; ++l) read_row(rows, index[l], row[l]);
    const Rows2 even = __builtin_shufflevector(row[0], row[2], 0, 1, 2, 3);
    const Rows2 odd = __builtin_shufflevector(row[1], row[3], 0, 1, 2, 3);
    value = __builtin_shufflevector(even, odd, 0, 4, 2, 6);
    rise = __builtin_shufflevector(even, odd, 1, 5, 3, 7);
}
[[gnu::always_inline]] inline void read_rows(const double* rows, const std::int64_t* index, Rows4& value, Rows4& rise) {
    Row row[8];
#pragma GCC unroll 8
    for (std::size_t l = 0; l < 8; ++l) read_row(rows, index[l], row[l]);
    const Rows2 even_low = __builtin_shufflevector(row[0], row[2], 0, 1, 2, 3);
    const Rows2 even_high = __builtin_shufflevector(row[4], row[6], 0, 1, 2, 3);
    const Rows2 odd_low = __builtin_shufflevector(row[1], row[3], 0, 1, 2, 3);
    const Rows2 odd_high = __builtin_shufflevector(row[5], row[7], 0, 1, 2, 3);
    const Rows4 even = __builtin_shufflevector(even_low, even_high, 0, 1, 2, 3, 4, 5, 6, 7);
    const Rows4 odd = __builtin_shufflevector(odd_low, odd_high, 0, 1, 2, 3, 4, 5, 6, 7);
    value = __builtin_shufflevector(even, odd, 0, 8, 2, 10, 4, 12, 6, 14);
    rise = __builtin_shufflevector(even, odd, 1, 9, 3, 11, 5, 13, 7, 15);
}

// Rows of two floats are moved as one double.
[[gnu::always_inline]] inline void read_pairs(const float* rows, const std::int32_t* index, Row& pairs) {
    double pair[2];
#pragma GCC unroll 2
    for (std::size_t l = 0; l < 2; ++l) std::memcpy(&pair[l], rows + 2 * static_cast<std::ptrdiff_t>(index[l]), sizeof(double));
    pairs = Row{pair[0], pair[1]};
}
[[gnu::always_inline]] inline void read_pairs(const float* rows, const std::int32_t* index, Rows2& pairs) {
    Row low, high;
    read_pairs(rows, index, low);
    read_pairs(rows, index + 2, high);
    pairs = __builtin_shufflevector(low, high, 0, 1, 2, 3);
}
[[gnu::always_inline]] inline void read_pairs(const float* rows, const std::int32_t* index, Rows4& pairs) {
    Rows2 low, high;
    read_pairs(rows, index, low);
    read_pairs(rows, index + 4, high);
    pairs = __builtin_shufflevector(low, high, 0, 1, 2, 3, 4, 5, 6, 7);
}
template <class Piece>
[[gnu::always_inline]] inline void read_rows(const float* rows, const std::int32_t* index, Piece& value, Piece& rise) {
    constexpr int n = static_cast<int>(VectorTraits<Piece>::count);
    using Pairs = std::conditional_t<n == 4, Row, std::conditional_t<n == 8, Rows2, Rows4>>;
    Pairs low, high;
    read_pairs(rows, index, low);
    read_pairs(rows, index + n / 2, high);
    using Order = typename VectorTraits<Piece>::Integer;
    Order even{};
#pragma GCC unroll 16
    for (int i = 0; i < n; ++i) even[i] = 2 * i;
    const Order odd = even + 1;
    table::shuffle(__builtin_bit_cast(Piece, low), __builtin_bit_cast(Piece, high), even, value);
    table::shuffle(__builtin_bit_cast(Piece, low), __builtin_bit_cast(Piece, high), odd, rise);
}

template <class Integer>
[[gnu::always_inline]] inline void read_function(const FunctionTable& function, const Integer& whole, double& value,
                                                 double& rise) {
    value = function.rows[static_cast<std::size_t>(whole)][0];
    rise = function.rows[static_cast<std::size_t>(whole)][1];
}
template <class Integer>
[[gnu::always_inline]] inline void read_function(const FunctionTable& function, const Integer& whole, float& value, float& rise) {
    value = function.single_rows[static_cast<std::size_t>(whole)][0];
    rise = function.single_rows[static_cast<std::size_t>(whole)][1];
}
/// As for curves of films, 16 lanes that lie within 64 rows are picked out of registers.
template <class Integer, class Piece>
[[gnu::always_inline]] inline void read_function(const FunctionTable& function, const Integer& whole, Piece& value, Piece& rise) {
    if constexpr (VectorTraits<Piece>::count == 16) {
        const std::int32_t first = whole[0] - 32;
        const Integer place = whole - first;
        if (all_fit<6>(place)) {
            const std::ptrdiff_t from = first + static_cast<std::ptrdiff_t>(FunctionTable::kMargin);
            pick_of_64(function.single_values.data() + from, place, value);
            pick_of_64(function.single_rises.data() + from, place, rise);
            return;
        }
    }
    typename Bits<scalar_t<Piece>>::Whole index[VectorTraits<Piece>::count];
    std::memcpy(index, &whole, sizeof(whole));
    if constexpr (is_single_v<Piece>)
        read_rows(function.single_rows.front().data(), index, value, rise);
    else
        read_rows(function.rows.front().data(), index, value, rise);
}

/// The function's value at a temperature. Not-a-number reads the first row.
template <class Piece>
[[gnu::always_inline]] inline void interpolate(const FunctionTable& function, const Piece& temperature_k, Piece& result) {
    Piece x = (temperature_k - number<Piece>(function.lowest_k)) * number<Piece>(function.per_k);
    clamp(x, 0.0, function.last);
    typename VectorTraits<Piece>::Integer whole;
    Piece rest, value, rise;
    split(x, whole, rest);
    read_function(function, whole, value, rise);
    result = value + rest * rise;
}

}  // namespace table

/// A table's value at the temperature of every lane.
template <class Scalar, std::size_t Width, class Isa>
[[gnu::always_inline]] inline void look_up(const FunctionTable& function, const Lanes<Scalar, Width, Isa>& temperature_k,
                                           Lanes<Scalar, Width, Isa>& result) {
    using Cut = table::Pieces<Lanes<Scalar, Width, Isa>>;
#pragma GCC unroll 4
    for (std::size_t i = 0; i < Cut::count; ++i) {
        typename Cut::Piece at, found;
        Cut::load(temperature_k, i, at);
        table::interpolate(function, at, found);
        Cut::store(found, i, result);
    }
}
[[gnu::always_inline]] inline void look_up(const FunctionTable& function, double temperature_k, double& result) {
    table::interpolate(function, temperature_k, result);
}

inline constexpr std::size_t kNoQuantile = static_cast<std::size_t>(-1);
/// Two moments closer than this are one.
inline constexpr double kSameMomentS = 1e-9;

/// A moment of the output grid.
struct Moment {
    double time_s = 0.0;
    double since_last_s = 0.0;
    double per_s = 0.0;                  ///< one over since_last_s
    std::size_t quantile = kNoQuantile;  ///< its number among the moments with quantiles
};

/// Ends of planned steps, by segment.
using StepPlan = std::vector<std::vector<double>>;
[[nodiscard]] std::size_t step_count(const StepPlan& plan) noexcept;

/// What an ensemble is to do, the same for all members: grid and planned steps, laid out segment by segment.
struct EnsembleTask {
    const Network& network;
    std::span<const Segment> segments;
    std::span<const WatchedPlace> watched;
    double tolerance_k;  ///< of a step
    double output_interval_s;
    bool is_single;  ///< whether members that go side by side are solved in single precision

    bool starts_with_quantile = false;
    std::vector<double> quantile_time_s{};
    std::vector<std::vector<Moment>> moments{};  ///< of each segment, after its begin and up to its end
    std::vector<StepPlan> plans{};               ///< each more patient than the one before
    std::vector<std::size_t> first_column{};     ///< of each watched place
    std::size_t column_count = 0;
    std::deque<FunctionTable> tables{};                               ///< one a function
    std::vector<std::vector<const FunctionTable*>> reading_tables{};  ///< by watched place, reading

    /// Numbers of a trace's buffer: by place, then time.
    [[nodiscard]] std::size_t trace_size() const noexcept { return watched.size() * quantile_time_s.size(); }
};

/// Whether members share steps. Where heaters switch, or controllers reach their limits, each member has corners of its own,
/// which a step must not pass: such members go alone.
[[nodiscard]] inline bool is_side_by_side(const Network& network) noexcept { return network.heaters().empty(); }

/// The task without planned steps.
[[nodiscard]] EnsembleTask make_task(const Network& network, std::span<const Segment> segments,
                                     std::span<const WatchedPlace> watched, const EnsembleOptions& options);

/// Solves the unperturbed member for the first plan; the second is nowhere longer than that and the steps of a member that does
/// not start at rest; the third halves the second. @throws SolveError
void plan_steps(EnsembleTask& task);

}  // namespace bakewright::thermal
