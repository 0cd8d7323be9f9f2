// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <cstdint>

#include "convection_table.hpp"

/// The arithmetic of a tabulated film, for one film whose temperatures are lanes (an ensemble) as for lanes that are films of
/// their own (a batch). Real is a double, a float or a GCC vector of them; Number is its scalar where all lanes share it, else
/// Real. Everything is inlined without exception, as in convection_table.hpp.
namespace bakewright::thermal::table {

/// So close to equal temperatures natural convection is brought to zero [K].
inline constexpr double kEqualityK = 0.02;

/// A film coefficient and its slopes. With q = h (air - surface): dq/dsurface = slope_surface (air - surface) - h.
template <class Real>
struct FilmValue {
    Real coefficient_w_per_m2_k;
    Real slope_surface;  ///< dh/dsurface_k [W/(m2 K2)]
    Real slope_air;      ///< dh/dair_k [W/(m2 K2)]
};

/// Two temperatures, as the correlations look at them.
template <class Real>
struct FilmPoint {
    Real difference_k, spread_k2, damping, damping_slope, film_t;
    typename VectorTraits<Real>::Integer film_index;
};

template <class Real>
[[gnu::always_inline]] inline void place_film(const Real& surface_k, const Real& air_k, FilmPoint<Real>& at) {
    at.difference_k = surface_k - air_k;
    at.spread_k2 = at.difference_k * at.difference_k + number<Real>(kEqualityK * kEqualityK);
    locate_film<Real>((surface_k + air_k) * number<Real>(0.5), at.film_index, at.film_t);
}
/// What natural convection needs beside.
template <class Real>
[[gnu::always_inline]] inline void damp_film(FilmPoint<Real>& at) {
    const Real inverse_spread = number<Real>(1.0) / at.spread_k2;
    at.damping = number<Real>(1.0) - inverse_spread * number<Real>(kEqualityK * kEqualityK);
    at.damping_slope = at.difference_k * inverse_spread * inverse_spread * number<Real>(2.0 * kEqualityK * kEqualityK);
}

/// One correlation: k/L F(L^6 G (dT^2 + d^2)), with a curve each for a surface warmer and cooler than the air.
template <class Real, class Number>
struct NaturalFilm {
    using Integer = typename VectorTraits<Real>::Integer;
    const double* curve_rows;  ///< what the next two count from
    Integer warmer, cooler;    ///< rows of the two curves
    const double* air_rows;    ///< what the next counts from
    Integer air;               ///< rows of air
    Number inverse_length_per_m, buoyancy_factor;

    [[gnu::always_inline]] void read_air(const FilmPoint<Real>& at, Slope<Real>& conductivity, Slope<Real>& buoyancy) const {
        static_assert(sizeof(AirRow) == 2 * sizeof(CubicRow));
        const Integer row = (at.film_index + air) * 2;
        Real c[4];
        gather<Real>(air_rows, row, c);
        cubic(c, at.film_t, conductivity);
        gather<Real>(air_rows + 4, row, c);
        cubic(c, at.film_t, buoyancy);
    }
    [[gnu::always_inline]] const double* curves() const { return curve_rows; }
};
/// The same in single precision; all lanes share one film.
template <class Real>
struct SingleNaturalFilm {
    using Integer = typename VectorTraits<Real>::Integer;
    const SingleTable* curve_table;
    Integer warmer, cooler;
    const SingleAir* air;
    float inverse_length_per_m, buoyancy_factor;

    [[gnu::always_inline]] void read_air(const FilmPoint<Real>& at, Slope<Real>& conductivity, Slope<Real>& buoyancy) const {
        read_columns(air->conductivity_w_per_m_k, at.film_index, at.film_t, conductivity);
        read_columns(air->buoyancy, at.film_index, at.film_t, buoyancy);
    }
    [[gnu::always_inline]] const SingleTable& curves() const { return *curve_table; }
};

/// What a film's correlations are read from tables for.
template <class Real>
struct NaturalReading {
    Slope<Real> conductivity, buoyancy, nusselt;
};
template <class Real, class Part>
[[gnu::always_inline]] inline void read_nusselt(const Part& part, const FilmPoint<Real>& at, NaturalReading<Real>& in_out) {
    using Integer = typename VectorTraits<Real>::Integer;
    const Integer curve = at.difference_k < Real{} ? part.cooler : part.warmer;
    read_curve<Real>(part.curves(), curve, in_out.buoyancy.value * (at.spread_k2 * part.buoyancy_factor), in_out.nusselt);
}
template <class Real, class Part>
[[gnu::always_inline]] inline void natural_value(const Part& part, const FilmPoint<Real>& at, const NaturalReading<Real>& read,
                                                 FilmValue<Real>& out) {
    const auto& [conductivity, buoyancy, nusselt] = read;
    const Real plain = conductivity.value * nusselt.value * part.inverse_length_per_m;
    // Half a step of film temperature for each kelvin of either side.
    const Real by_film = (conductivity.slope * nusselt.value +
                          conductivity.value * nusselt.slope * buoyancy.slope * at.spread_k2 * part.buoyancy_factor) *
                         (part.inverse_length_per_m * number<Real>(0.5 / kFilmStepK));
    const Real by_difference = conductivity.value * nusselt.slope * buoyancy.value * at.difference_k *
                               (part.inverse_length_per_m * part.buoyancy_factor * number<Real>(2.0));
    out.coefficient_w_per_m2_k = plain * at.damping;
    out.slope_surface = (by_film + by_difference) * at.damping + plain * at.damping_slope;
    out.slope_air = (by_film - by_difference) * at.damping - plain * at.damping_slope;
}
/// Count vectors go side by side from one table to the next: each is a chain in which every operation waits for the one before.
/// @param part  a NaturalFilm or a SingleNaturalFilm
template <class Real, class Part, std::size_t Count>
[[gnu::always_inline]] inline void natural_film(const Part& part, const FilmPoint<Real> (&at)[Count],
                                                FilmValue<Real> (&out)[Count]) {
    NaturalReading<Real> read[Count];
#pragma GCC unroll 4
    for (std::size_t i = 0; i < Count; ++i) part.read_air(at[i], read[i].conductivity, read[i].buoyancy);
#pragma GCC unroll 4
    for (std::size_t i = 0; i < Count; ++i) read_nusselt(part, at[i], read[i]);
#pragma GCC unroll 4
    for (std::size_t i = 0; i < Count; ++i) natural_value(part, at[i], read[i], out[i]);
}

/// h^3 = forced^3 +- natural^3. With the larger M and the smaller m, h = M cbrt(1 +- (m/M)^3), the root by one step of Halley's
/// method from a cubic that is within 1.5 % between 1/8 and 2: 2.3e-6 of relative error.
/// @param sign  1, or -1 for opposing flows
template <class Real, class Number>
[[gnu::always_inline]] inline void combine_films(const Number& sign, const FilmValue<Real>& forced, FilmValue<Real>& in_out) {
    const Real natural_h = in_out.coefficient_w_per_m2_k;
    const Real forced_h = forced.coefficient_w_per_m2_k;
    const auto natural_leads = natural_h > forced_h;
    Real leading, other;
    larger(natural_h, forced_h, leading);
    smaller(natural_h, forced_h, other);
    const Real share = other / (leading + number<Real>(1e-30));
    const Real exact = (share * share) * (share * sign) + number<Real>(1.0);
    Real x = exact;
    clamp(x, 0.125, 2.0);
    const Real guess = (x * number<Real>(0.16122833934962497) - number<Real>(0.6652069654685122)) * (x * x) +
                       (x * number<Real>(1.1371465824290574) + number<Real>(0.37537749599780157));
    const Real guess_cubed = guess * guess * guess;
    const Real above = guess * (guess_cubed + x * number<Real>(2.0));
    const Real below = guess_cubed * number<Real>(2.0) + x;
    const Real inverse = number<Real>(1.0) / (above * below);  // one division for the root and its inverse
    const Real root = above * above * inverse;

    // dh = (M/h)^2 dM +- (m/h)^2 dm; on the floor of opposing flow h = M/2.
    const Real inverse_root = below * below * inverse;
    const Real larger_weight_free = inverse_root * inverse_root;
    const Real smaller_weight_free = share * share * larger_weight_free * sign;
    const auto floored = exact < x;
    const Real larger_weight = floored ? Real{} + number<Real>(0.5) : larger_weight_free;
    const Real smaller_weight = floored ? Real{} : smaller_weight_free;
    const Real natural_weight = natural_leads ? larger_weight : smaller_weight;
    const Real forced_weight = natural_leads ? smaller_weight : larger_weight;
    in_out.coefficient_w_per_m2_k = leading * root;
    in_out.slope_surface = in_out.slope_surface * natural_weight + forced.slope_surface * forced_weight;
    in_out.slope_air = in_out.slope_air * natural_weight + forced.slope_air * forced_weight;
}

template <class Real, class Number>
[[gnu::always_inline]] inline void scale_film(const Number& factor, FilmValue<Real>& in_out) {
    in_out.coefficient_w_per_m2_k *= factor;
    in_out.slope_surface *= factor;
    in_out.slope_air *= factor;
}

}  // namespace bakewright::thermal::table
