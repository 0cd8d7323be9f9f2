// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>

#include "table_vectors.hpp"

/// Tables of natural convection that need no power, root or division to read, for the solver's inner loop. Shared by
/// TabulatedFilm and TabulatedGap. A natural coefficient splits exactly into functions of one variable each:
///
///     h = k(T_film) / L  F(Y),   Y = L^6 G(T_film) (dT^2 + small),   G = (g beta / (nu alpha) P(Pr))^2,
///
/// Y being the square of the Rayleigh number with the correlation's Prandtl-number function P taken in. k and G are cubic Hermite
/// polynomials on 12.5 K of film temperature; F on an eighth of an octave of Y, found from the bits of the number.
///
/// For floats the same rows are kept in single precision: a film coefficient read from them is within 1e-5 of itself of one read
/// in double precision (tests/thermal/single_precision_test.cpp). Everything here is inlined without exception, so that source
/// files built for different instruction sets share no function.
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

/// The same in single precision.
struct SingleAir {
    SingleColumns conductivity_w_per_m_k, buoyancy;
};
static_assert(kFilmSegments <= 24, "a film's segments are picked out of three vectors of eight");
[[nodiscard]] SingleColumns single_columns(const std::array<CubicRow, kFilmSegments>& rows) noexcept;

/// The tables, made on first use and kept for the life of the program; safe to call from several threads.
[[nodiscard]] const CubicRow* curve_rows(Curve curve);
/// Rows of a curve in single precision: from its first_row() on, counted in the table of all.
[[nodiscard]] const SingleTable& single_curves(Curve curve);
[[nodiscard]] constexpr std::int32_t first_row(Curve curve) noexcept {
    return static_cast<std::int32_t>(static_cast<std::size_t>(curve) * kCurveSegments);
}
[[nodiscard]] const AirRow* air_rows(Buoyancy buoyancy);
[[nodiscard]] const SingleAir& single_air(Buoyancy buoyancy);
[[nodiscard]] Buoyancy buoyancy_of(Curve curve) noexcept;

/// Cubic Hermite row from values and slopes at both ends of a segment of a width.
[[nodiscard]] CubicRow hermite_row(double begin, double begin_slope, double end, double end_slope, double width) noexcept;

/// A value and its slope.
template <class Real>
struct Slope {
    Real value, slope;
};

template <class Real>
[[gnu::always_inline]] inline void cubic(const Real (&c)[4], const Real& t, Slope<Real>& out) {
    // Two halves that do not wait for each other.
    out.value = (c[3] * t + c[2]) * (t * t) + (c[1] * t + c[0]);
    out.slope = (c[3] * number<Real>(3.0) * t + c[2] * number<Real>(2.0)) * t + c[1];
}

/// Where a film temperature lies: the segment and the place in it.
template <class Real>
[[gnu::always_inline]] inline void locate_film(const Real& film_k, typename VectorTraits<Real>::Integer& index, Real& t) {
    Real x = (film_k - number<Real>(kLowestFilmK)) * number<Real>(1.0 / kFilmStepK);
    constexpr double below_one = 1.0 - 0x1p-22;  // so that the end belongs to the last segment, in single precision too
    clamp(x, 0.0, static_cast<double>(kFilmSegments) * below_one);
    split(x, index, t);
}

/// A function of film temperature in single precision, where a film lies.
template <class Real>
[[gnu::always_inline]] inline void read_columns(const SingleColumns& columns, const typename VectorTraits<Real>::Integer& index,
                                                const Real& t, Slope<Real>& out) {
    Real c[4];
#pragma GCC unroll 4
    for (std::size_t j = 0; j < 4; ++j) pick(columns.c[j].data(), index, c[j]);
    cubic(c, t, out);
}

/// F(Y) and dF/dY of a curve. @param rows  of curves, as gather() takes them  @param lane_offset  the curve's first row
template <class Real, class Rows>
[[gnu::always_inline]] inline void read_curve(const Rows& rows, const typename VectorTraits<Real>::Integer& lane_offset,
                                              const Real& squared_rayleigh, Slope<Real>& out) {
    using Integer = typename VectorTraits<Real>::Integer;  // the builtin, for std::bit_cast would return a vector by value
    using Layout = Bits<scalar_t<Real>>;
    using Whole = typename Layout::Whole;
    constexpr int shift = Layout::mantissa - kSegmentBits;
    constexpr Whole one = Layout::bias << Layout::mantissa;
    constexpr Whole mantissa = (Whole{1} << Layout::mantissa) - 1;
    constexpr Whole segment_low = mantissa & ~((Whole{1} << shift) - 1);
    Real y = squared_rayleigh;
    clamp(y, 0x1p-16, Layout::below_two_to_104);
    const Integer bits = __builtin_bit_cast(Integer, y);
    const Integer index = (bits >> shift) - ((Layout::bias + kLowestOctave) << kSegmentBits) + lane_offset;
    const Real t = __builtin_bit_cast(Real, Integer((bits & mantissa) | one)) -
                   __builtin_bit_cast(Real, Integer((bits & segment_low) | one));
    Real c[4];
    gather<Real>(rows, index, c);
    cubic(c, t, out);
    const Integer exponent = bits & ~mantissa;
    out.slope *= __builtin_bit_cast(Real, Integer(((2 * Layout::bias) << Layout::mantissa) - exponent));  // dF/dY = dF/dm 2^-e
}

}  // namespace bakewright::thermal::table
