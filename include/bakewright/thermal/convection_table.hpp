#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <type_traits>

/// Tables of natural convection that need no power, root or division to read, for the solver's inner loop. Shared by
/// TabulatedFilm and TabulatedGap. A natural coefficient splits exactly into functions of one variable each:
///
///     h = k(T_film) / L  F(Y),   Y = L^6 G(T_film) (dT^2 + small),   G = (g beta / (nu alpha) P(Pr))^2,
///
/// Y being the square of the Rayleigh number with the correlation's Prandtl-number function P taken in. k and G are cubic Hermite
/// polynomials on 12.5 K of film temperature; F on an eighth of an octave of Y, found from the bits of the number.
///
/// Real is double or a GCC vector of four doubles or a multiple, lanes of which may lie anywhere in the tables. Everything here
/// is inlined without exception, so that source files built for different instruction sets share no function.
namespace bakewright::thermal::table {

/// What a curve F stands for.
enum class Curve : std::uint8_t {
    vertical_plate,
    horizontal_driving,
    horizontal_hindering,
    horizontal_cylinder,
    gap_vertical,   ///< cavity between walls, for any aspect ratio: the conduction and the two layer regimes
    gap_aspect,     ///< cavity between walls, the term of height over width, at an aspect ratio of one
    gap_driving,    ///< heated from below
    gap_hindering,  ///< heated from above: Nu = 1
    none            ///< F = 0
};

/// Which Prandtl-number function belongs to a curve.
enum class Buoyancy : std::uint8_t { plain, vertical_plate, cylinder };

inline constexpr double kLowestFilmK = 225.0;
inline constexpr double kFilmStepK = 12.5;
inline constexpr std::size_t kFilmSegments = 22;  ///< up to 500 K; outside the nearest end is held
inline constexpr int kSegmentBits = 3;            ///< eight segments an octave of Y
inline constexpr int kLowestOctave = -16;         ///< Ra from 0.004
inline constexpr int kOctaves = 120;              ///< to 4.5e15; outside the nearest end is held
inline constexpr std::size_t kCurveSegments = std::size_t{kOctaves} << kSegmentBits;

/// Coefficients c[0] + c[1] t + c[2] t^2 + c[3] t^3 of each segment, t from the segment's beginning: in segments of film
/// temperature (0 to 1), or in the mantissa (0 to 1/8).
using CubicRow = std::array<double, 4>;
/// Conductivity k and buoyancy G of one segment of film temperature: two rows that share a cache line.
struct alignas(64) AirRow {
    CubicRow conductivity_w_per_m_k;
    CubicRow buoyancy;
};

/// The tables, made on first use and kept for the life of the program; safe to call from several threads.
[[nodiscard]] const CubicRow* curve_rows(Curve curve);
[[nodiscard]] const AirRow* air_rows(Buoyancy buoyancy);
[[nodiscard]] Buoyancy buoyancy_of(Curve curve) noexcept;

/// Cubic Hermite row from values and slopes at both ends of a segment of a width.
[[nodiscard]] CubicRow hermite_row(double begin, double begin_slope, double end, double end_slope, double width) noexcept;

template <class Real>
struct VectorTraits {
    using Integer = decltype(Real{} < Real{});  // a vector of 64-bit integers of the same size
    static constexpr std::size_t count = sizeof(Real) / sizeof(double);
};
template <>
struct VectorTraits<double> {
    using Integer = std::int64_t;
    static constexpr std::size_t count = 1;
};

/// A value and its slope.
template <class Real>
struct Slope {
    Real value, slope;
};

/// Four rows turned into four columns.
template <class Pack>
[[gnu::always_inline]] inline void transpose(const Pack (&row)[4], Pack (&column)[4]) {
    using Order = decltype(Pack{} < Pack{});
    const Pack low_01 = __builtin_shuffle(row[0], row[1], Order{0, 4, 2, 6});
    const Pack high_01 = __builtin_shuffle(row[0], row[1], Order{1, 5, 3, 7});
    const Pack low_23 = __builtin_shuffle(row[2], row[3], Order{0, 4, 2, 6});
    const Pack high_23 = __builtin_shuffle(row[2], row[3], Order{1, 5, 3, 7});
    column[0] = __builtin_shuffle(low_01, low_23, Order{0, 1, 4, 5});
    column[1] = __builtin_shuffle(high_01, high_23, Order{0, 1, 4, 5});
    column[2] = __builtin_shuffle(low_01, low_23, Order{2, 3, 6, 7});
    column[3] = __builtin_shuffle(high_01, high_23, Order{2, 3, 6, 7});
}

/// Reads one cubic a lane: base + stride * index is the lane's row.
template <class Real>
[[gnu::always_inline]] inline void gather(const double* base, std::size_t stride,
                                          const typename VectorTraits<Real>::Integer& index, Real (&c)[4]) {
    if constexpr (std::is_same_v<Real, double>) {
        const double* row = base + static_cast<std::size_t>(index) * stride;
        for (std::size_t j = 0; j < 4; ++j) c[j] = row[j];
    } else {
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
}

template <class Real>
[[gnu::always_inline]] inline void cubic(const Real (&c)[4], const Real& t, Slope<Real>& out) {
    out.value = ((c[3] * t + c[2]) * t + c[1]) * t + c[0];
    out.slope = (c[3] * 3.0 * t + c[2] * 2.0) * t + c[1];
}

/// Not-a-number comes out as the low end, so that no index leaves the table; the caller's heat flow stays not-a-number.
template <class Real>
[[gnu::always_inline]] inline void clamp(Real& x, double low, double high) {
    const Real lowest = Real{} + low;
    const Real highest = Real{} + high;
    x = x > lowest ? x : lowest;
    x = x < highest ? x : highest;
}

/// Where a film temperature lies: the segment and the place in it.
template <class Real>
[[gnu::always_inline]] inline void locate_film(const Real& film_k, typename VectorTraits<Real>::Integer& index, Real& t) {
    // Adding 1.5 x 2^52 rounds to a whole number and leaves it in the low bits; ties may fall to either side, where cubics meet.
    constexpr double magic = 6755399441055744.0;
    using Integer = typename VectorTraits<Real>::Integer;
    Real x = (film_k - kLowestFilmK) * (1.0 / kFilmStepK);
    clamp(x, 0.0, static_cast<double>(kFilmSegments));
    Real down = x - 0.5;
    clamp(down, 0.0, static_cast<double>(kFilmSegments - 1));
    const Real shifted = down + magic;
    index = __builtin_bit_cast(Integer, shifted) & 0xff;
    t = x - (shifted - magic);
}

/// F(Y) and dF/dY of a curve. @param rows  of the curve, or of the first of curves that lie lane_offset rows apart
template <class Real>
[[gnu::always_inline]] inline void read_curve(const double* rows, const typename VectorTraits<Real>::Integer& lane_offset,
                                              const Real& squared_rayleigh, Slope<Real>& out) {
    using Integer = typename VectorTraits<Real>::Integer;  // the builtin, for std::bit_cast would return a vector by value
    constexpr int shift = 52 - kSegmentBits;
    constexpr std::int64_t one = std::int64_t{1023} << 52;
    constexpr std::int64_t mantissa = (std::int64_t{1} << 52) - 1;
    constexpr std::int64_t segment_low = mantissa & ~((std::int64_t{1} << shift) - 1);
    Real y = squared_rayleigh;
    clamp(y, 0x1p-16, 0x1.fffffffffffffp+103);
    const Integer bits = __builtin_bit_cast(Integer, y);
    const Integer index = (bits >> shift) - (std::int64_t{1023 + kLowestOctave} << kSegmentBits) + lane_offset;
    const Real t = __builtin_bit_cast(Real, Integer((bits & mantissa) | one)) -
                   __builtin_bit_cast(Real, Integer((bits & segment_low) | one));
    Real c[4];
    gather<Real>(rows, 4, index, c);
    cubic(c, t, out);
    const Integer exponent = bits & ~mantissa;
    out.slope *= __builtin_bit_cast(Real, Integer((std::int64_t{2046} << 52) - exponent));  // dF/dY = dF/dm 2^-e
}

}  // namespace bakewright::thermal::table
