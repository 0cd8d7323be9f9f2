// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <immintrin.h>

#include <array>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <type_traits>
#include <utility>

#if defined(__AVX512F__)
#endif

/// The vectors that tables are read with. Real is a double or a float, or a GCC vector of them whose lanes may lie anywhere in a
/// table: of four doubles or a multiple, of 4, 8 or 16 floats. Everything here is inlined without exception, so that source files
/// built for different instruction sets share no function.
namespace bakewright::thermal::table {

template <class Real>
struct VectorTraits {
    using Scalar = std::remove_cvref_t<decltype(std::declval<Real&>()[0])>;
    using Integer = decltype(Real{} < Real{});  // a vector of whole numbers of the same size
    static constexpr std::size_t count = sizeof(Real) / sizeof(Scalar);
};
template <>
struct VectorTraits<double> {
    using Scalar = double;
    using Integer = std::int64_t;
    static constexpr std::size_t count = 1;
};
template <>
struct VectorTraits<float> {
    using Scalar = float;
    using Integer = std::int32_t;
    static constexpr std::size_t count = 1;
};
template <class Real>
using scalar_t = typename VectorTraits<Real>::Scalar;
template <class Real>
inline constexpr bool is_single_v = std::is_same_v<scalar_t<Real>, float>;

/// The lanes of one vector, or of two side by side, that an index names, which counts modulo their number.
template <class Real, class Index>
[[gnu::always_inline]] inline void shuffle(const Real& from, const Index& index, Real& out) {
#if __has_builtin(__builtin_shuffle)
    out = __builtin_shuffle(from, index);
#else  // Clang shuffles by numbers known beforehand alone
    constexpr int n = static_cast<int>(VectorTraits<Real>::count);
    Real made{};
    for (int i = 0; i < n; ++i) made[i] = from[index[i] & (n - 1)];
    out = made;
#endif
}
template <class Real, class Index>
[[gnu::always_inline]] inline void shuffle(const Real& low, const Real& high, const Index& index, Real& out) {
#if __has_builtin(__builtin_shuffle)
    out = __builtin_shuffle(low, high, index);
#else
    constexpr int n = static_cast<int>(VectorTraits<Real>::count);
    Real made{};
    for (int i = 0; i < n; ++i) made[i] = (index[i] & n) != 0 ? high[index[i] & (n - 1)] : low[index[i] & (n - 1)];
    out = made;
#endif
}

/// How numbers of a kind lie in their bits.
template <class Scalar>
struct Bits;
template <>
struct Bits<double> {
    using Whole = std::int64_t;
    static constexpr int mantissa = 52;
    static constexpr Whole bias = 1023;
    static constexpr double below_two_to_104 = 0x1.fffffffffffffp+103;
};
template <>
struct Bits<float> {
    using Whole = std::int32_t;
    static constexpr int mantissa = 23;
    static constexpr Whole bias = 127;
    static constexpr double below_two_to_104 = 0x1.fffffep+103;
};

/// A constant as the lanes hold it; a scalar goes with a vector.
template <class Real>
[[gnu::always_inline]] constexpr scalar_t<Real> number(double value) {
    return static_cast<scalar_t<Real>>(value);
}

// The larger and the smaller of two; b where a is not a number. Spelled out for the widest vectors, for which the compiler makes
// a comparison and a choice of it.
template <class Real>
[[gnu::always_inline]] inline void larger(const Real& a, const Real& b, Real& out) {
#if defined(__AVX512F__)
    if constexpr (sizeof(Real) == 64 && is_single_v<Real>) return void(out = _mm512_maskz_max_ps(0xffff, a, b));
    if constexpr (sizeof(Real) == 64 && !is_single_v<Real>) return void(out = _mm512_maskz_max_pd(0xff, a, b));
#endif
    out = a > b ? a : b;
}
template <class Real>
[[gnu::always_inline]] inline void smaller(const Real& a, const Real& b, Real& out) {
#if defined(__AVX512F__)
    if constexpr (sizeof(Real) == 64 && is_single_v<Real>) return void(out = _mm512_maskz_min_ps(0xffff, a, b));
    if constexpr (sizeof(Real) == 64 && !is_single_v<Real>) return void(out = _mm512_maskz_min_pd(0xff, a, b));
#endif
    out = a < b ? a : b;
}

/// Not-a-number comes out as the low end, so that no index leaves the table; the caller's heat flow stays not-a-number.
template <class Real>
[[gnu::always_inline]] inline void clamp(Real& x, double low, double high) {
    larger(x, Real{} + number<Real>(low), x);
    smaller(x, Real{} + number<Real>(high), x);
}

/// Splits x into a whole number and the rest, 0 to 1: adding 1.5 times the power of two whose last bit is worth one rounds to a
/// whole number and leaves it in the low bits. Ties may fall to either side, where pieces of a table meet.
/// @param x  0 to the largest whole number and a bit less than one more
template <class Real>
[[gnu::always_inline]] inline void split(const Real& x, typename VectorTraits<Real>::Integer& whole, Real& rest) {
    using Integer = typename VectorTraits<Real>::Integer;
    using Whole = typename Bits<scalar_t<Real>>::Whole;
    constexpr Whole power = Whole{1} << Bits<scalar_t<Real>>::mantissa;
    const scalar_t<Real> magic = number<Real>(1.5 * static_cast<double>(power));
    const Real shifted = (x - number<Real>(0.5)) + magic;
    whole = __builtin_bit_cast(Integer, shifted) & ((power >> 1) - 1);
    rest = x - (shifted - magic);
}

/// Four rows turned into four columns.
template <class Pack>
[[gnu::always_inline]] inline void transpose(const Pack (&row)[4], Pack (&column)[4]) {
    const Pack low_01 = __builtin_shufflevector(row[0], row[1], 0, 4, 2, 6);
    const Pack high_01 = __builtin_shufflevector(row[0], row[1], 1, 5, 3, 7);
    const Pack low_23 = __builtin_shufflevector(row[2], row[3], 0, 4, 2, 6);
    const Pack high_23 = __builtin_shufflevector(row[2], row[3], 1, 5, 3, 7);
    column[0] = __builtin_shufflevector(low_01, low_23, 0, 1, 4, 5);
    column[1] = __builtin_shufflevector(high_01, high_23, 0, 1, 4, 5);
    column[2] = __builtin_shufflevector(low_01, low_23, 2, 3, 6, 7);
    column[3] = __builtin_shufflevector(high_01, high_23, 2, 3, 6, 7);
}

/// Reads one cubic a lane: base + stride * index is the lane's row.
template <class Real>
[[gnu::always_inline]] inline void gather_double(const double* base, std::size_t stride,
                                                 const typename VectorTraits<Real>::Integer& index, Real (&c)[4]) {
    static_assert(VectorTraits<Real>::count % 4 == 0, "packs of four lanes or a multiple");
    typedef double Quad __attribute__((vector_size(32)));
    constexpr std::size_t quads = VectorTraits<Real>::count / 4;
    Quad columns[4][quads];
#pragma GCC unroll 4
    for (std::size_t q = 0; q < quads; ++q) {
        Quad rows[4], turned[4];
#pragma GCC unroll 4
        for (std::size_t lane = 0; lane < 4; ++lane)
            std::memcpy(&rows[lane], base + static_cast<std::size_t>(index[4 * q + lane]) * stride, sizeof(Quad));
        transpose(rows, turned);
#pragma GCC unroll 4
        for (std::size_t j = 0; j < 4; ++j) columns[j][q] = turned[j];
    }
#pragma GCC unroll 4
    for (std::size_t j = 0; j < 4; ++j) {
        // Not by memory for eight lanes: a wide load right after two narrow stores stalls.
        if constexpr (quads == 2)
            c[j] = __builtin_shufflevector(columns[j][0], columns[j][1], 0, 1, 2, 3, 4, 5, 6, 7);
        else
            std::memcpy(&c[j], columns[j], sizeof(Real));
    }
}

typedef float Floats4 __attribute__((vector_size(16)));
typedef float Floats8 __attribute__((vector_size(32)));
typedef float Floats16 __attribute__((vector_size(64)));

// Rows of four floats for lanes j, j + 4, j + 8 and so on, side by side.
[[gnu::always_inline]] inline void read_quads(const float* const* row, std::size_t j, Floats4& out) {
    std::memcpy(&out, row[j], sizeof(out));
}
[[gnu::always_inline]] inline void read_quads(const float* const* row, std::size_t j, Floats8& out) {
    Floats4 low, high;
    read_quads(row, j, low);
    read_quads(row, j + 4, high);
    out = __builtin_shufflevector(low, high, 0, 1, 2, 3, 4, 5, 6, 7);
}
[[gnu::always_inline]] inline void read_quads(const float* const* row, std::size_t j, Floats16& out) {
    Floats8 low, high;
    read_quads(row, j, low);
    read_quads(row, j + 8, high);
    out = __builtin_shufflevector(low, high, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15);
}

/// Of every four lanes the first two (or, from 2 on, the last two) of both, in turns.
template <class Real>
[[gnu::always_inline]] inline void interleave(const Real& a, const Real& b, int from, Real& out) {
    using Order = typename VectorTraits<Real>::Integer;
    constexpr int n = static_cast<int>(VectorTraits<Real>::count);
    Order order{};
#pragma GCC unroll 16
    for (int i = 0; i < n; ++i) order[i] = (i & ~3) + from + ((i & 3) >> 1) + (i & 1) * n;
    shuffle(a, b, order, out);
}
/// Of every four lanes the first half (or, from 2 on, the last) of both, one behind the other.
template <class Real>
[[gnu::always_inline]] inline void join_halves(const Real& a, const Real& b, int from, Real& out) {
    using Order = typename VectorTraits<Real>::Integer;
    constexpr int n = static_cast<int>(VectorTraits<Real>::count);
    Order order{};
#pragma GCC unroll 16
    for (int i = 0; i < n; ++i) order[i] = (i & ~3) + from + (i & 1) + ((i & 3) >> 1) * n;
    shuffle(a, b, order, out);
}

template <class Real>
[[gnu::always_inline]] inline void gather_single(const float* base, const typename VectorTraits<Real>::Integer& index,
                                                 Real (&c)[4]) {
    constexpr std::size_t count = VectorTraits<Real>::count;
    std::int32_t place[count];
    std::memcpy(place, &index, sizeof(place));
    const float* row[count];
#pragma GCC unroll 16
    for (std::size_t l = 0; l < count; ++l) row[l] = base + 4 * static_cast<std::ptrdiff_t>(place[l]);
    Real quads[4], low_01, high_01, low_23, high_23;
#pragma GCC unroll 4
    for (std::size_t j = 0; j < 4; ++j) read_quads(row, j, quads[j]);
    interleave(quads[0], quads[1], 0, low_01);
    interleave(quads[0], quads[1], 2, high_01);
    interleave(quads[2], quads[3], 0, low_23);
    interleave(quads[2], quads[3], 2, high_23);
    join_halves(low_01, low_23, 0, c[0]);
    join_halves(low_01, low_23, 2, c[1]);
    join_halves(high_01, high_23, 0, c[2]);
    join_halves(high_01, high_23, 2, c[3]);
}

/// Reads one cubic a lane: base + 4 * index is the lane's row.
template <class Real>
[[gnu::always_inline]] inline void gather(const scalar_t<Real>* base, const typename VectorTraits<Real>::Integer& index,
                                          Real (&c)[4]) {
    if constexpr (VectorTraits<Real>::count == 1) {
        for (std::size_t j = 0; j < 4; ++j) c[j] = base[4 * index + static_cast<std::ptrdiff_t>(j)];
    } else if constexpr (is_single_v<Real>) {
        gather_single<Real>(base, index, c);
    } else {
        gather_double<Real>(base, 4, index, c);
    }
}

/// Numbers of up to 32 segments, a column each of the cubic's four coefficients: short enough for a lane to be picked out of
/// registers.
struct alignas(64) SingleColumns {
    static constexpr std::size_t kRows = 32;
    std::array<std::array<float, kRows>, 4> c{};
};

/// Whether every lane is 0 to 2^bits - 1.
template <int Bits, class Integer>
[[gnu::always_inline]] inline bool all_fit(const Integer& lanes) {
    const Integer above = lanes & ~((1 << Bits) - 1);
#if defined(__AVX512F__)
    if constexpr (sizeof(Integer) == 64)
        return _mm512_test_epi32_mask(__builtin_bit_cast(__m512i, above), __builtin_bit_cast(__m512i, above)) == 0;
#endif
    return std::memcmp(&above, &static_cast<const Integer&>(Integer{}), sizeof(Integer)) == 0;
}

/// Of 32 numbers, by 16 lanes.
[[gnu::always_inline]] inline void pick(const float* column, const VectorTraits<Floats16>::Integer& index, Floats16& out) {
    Floats16 low, high;
    std::memcpy(&low, column, sizeof(low));
    std::memcpy(&high, column + 16, sizeof(high));
    shuffle(low, high, index, out);
}
/// Of 24 numbers, by eight lanes.
[[gnu::always_inline]] inline void pick(const float* column, const VectorTraits<Floats8>::Integer& index, Floats8& out) {
    Floats8 part[3];  // each by itself: in one go they would be copied to memory first
    std::memcpy(&part[0], column, sizeof(Floats8));
    std::memcpy(&part[1], column + 8, sizeof(Floats8));
    std::memcpy(&part[2], column + 16, sizeof(Floats8));
    Floats8 low, middle, high;
    shuffle(part[0], index, low);
    shuffle(part[1], index, middle);
    shuffle(part[2], index, high);
    out = index < 8 ? low : index < 16 ? middle : high;
}
template <class Real>
[[gnu::always_inline]] inline void pick(const float* column, const typename VectorTraits<Real>::Integer& index, Real& out) {
    if constexpr (VectorTraits<Real>::count == 1) {
        out = column[index];
    } else {
        Real picked{};
#pragma GCC unroll 4
        for (std::size_t l = 0; l < VectorTraits<Real>::count; ++l) picked[l] = column[index[l]];
        out = picked;
    }
}

/// Of 64 numbers, by 16 lanes.
[[gnu::always_inline]] inline void pick_of_64(const float* column, const VectorTraits<Floats16>::Integer& index, Floats16& out) {
    Floats16 low, high;
    pick(column, index, low);  // takes the index modulo 32
    pick(column + 32, index, high);
    out = index < 32 ? low : high;
}

/// A long table in single precision: its rows, and the same numbers by column, of which a few more may be read at either end.
struct SingleTable {
    static constexpr std::size_t kMargin = 32;
    const float* rows;
    std::array<const float*, 4> columns;
};

/// Reads one cubic a lane. Members of an ensemble are alike, so that 16 lanes mostly lie within 32 rows: then they are picked out
/// of registers, in a fifth of the operations.
template <class Real>
[[gnu::always_inline]] inline void gather(const SingleTable& table, const typename VectorTraits<Real>::Integer& index,
                                          Real (&c)[4]) {
    if constexpr (VectorTraits<Real>::count == 16) {
        const std::int32_t first = index[0] - 16;
        const auto place = index - first;
        if (all_fit<5>(place)) {
#pragma GCC unroll 4
            for (std::size_t j = 0; j < 4; ++j) pick(table.columns[j] + first, place, c[j]);
            return;
        }
    }
    gather<Real>(table.rows, index, c);
}

}  // namespace bakewright::thermal::table
