#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <type_traits>
#include <vector>

#include "bakewright/thermal/ensemble_reading.hpp"
#include "bakewright/thermal/tabulated_lanes.hpp"

namespace bakewright::thermal {

/// A TabulatedFunction laid out for the kernels: value and rise to the next point side by side, so that a lane is one load.
struct FunctionTable {
    explicit FunctionTable(const TabulatedFunction& function)
        : lowest_k(function.lowest_k), per_k(1.0 / function.step_k), last(static_cast<double>(function.value.size() - 1)) {
        for (std::size_t i = 0; i + 1 < function.value.size(); ++i)
            rows.push_back({function.value[i], function.value[i + 1] - function.value[i]});
        rows.push_back({function.value.back(), 0.0});
    }
    double lowest_k, per_k, last;
    std::vector<std::array<double, 2>> rows;
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

/// Value at a place x in rows, 0 to the last: in straight lines. Not-a-number reads the first row.
template <class Piece>
[[gnu::always_inline]] inline void interpolate_rows(const double* rows, double last, Piece x, Piece& result) {
    clamp(x, 0.0, last);
    using Integer = typename VectorTraits<Piece>::Integer;
    // Adding 1.5 x 2^52 rounds to a whole number and leaves it in the low bits. On a tie it may round up to the point itself,
    // where both lines meet.
    constexpr double magic = 6755399441055744.0;
    Piece down = x - 0.5;
    clamp(down, 0.0, last);
    const Piece shifted = down + magic;
    const Integer whole = __builtin_bit_cast(Integer, shifted) & std::int64_t{0x3fffffff};
    Piece value, rise;
    if constexpr (std::is_same_v<Piece, double>) {
        value = rows[2 * whole];
        rise = rows[2 * whole + 1];
    } else {
        std::int64_t index[VectorTraits<Piece>::count];
        std::memcpy(index, &whole, sizeof(whole));
        read_rows(rows, index, value, rise);
    }
    result = value + (x - (shifted - magic)) * rise;
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
        table::interpolate_rows<typename Cut::Piece>(function.rows.front().data(), function.last,
                                                     (at - function.lowest_k) * function.per_k, found);
        Cut::store(found, i, result);
    }
}
[[gnu::always_inline]] inline void look_up(const FunctionTable& function, double temperature_k, double& result) {
    table::interpolate_rows<double>(function.rows.front().data(), function.last,
                                    (temperature_k - function.lowest_k) * function.per_k, result);
}

}  // namespace bakewright::thermal
