#pragma once

// Bodies of TabulatedFilm's templates; included by tabulated_film.hpp, and complete by itself.
#include "bakewright/thermal/tabulated_film.hpp"

namespace bakewright::thermal {

template <class Real, std::size_t Count>
[[gnu::always_inline]] inline void TabulatedFilm::natural_part(const Natural& part, const table::FilmPoint<Real> (&at)[Count],
                                                               Value<Real> (&out)[Count]) {
    using Integer = typename table::VectorTraits<Real>::Integer;
    using Whole = typename table::Bits<table::scalar_t<Real>>::Whole;
    const Integer cooler = Integer{} + static_cast<Whole>(part.cooler_offset);
    const auto inverse_length_per_m = table::number<Real>(part.inverse_length_per_m);
    const auto buoyancy_factor = table::number<Real>(part.buoyancy_factor);
    if constexpr (table::is_single_v<Real>) {
        const table::SingleNaturalFilm<Real> lanes{part.single_curves,          Integer{} + part.single_warmer,
                                                   cooler + part.single_warmer, part.single_air,
                                                   inverse_length_per_m,        buoyancy_factor};
        table::natural_film(lanes, at, out);
    } else {
        const table::NaturalFilm<Real, double> lanes{
            part.warmer_rows,     Integer{},      cooler, part.air->conductivity_w_per_m_k.data(), Integer{},
            inverse_length_per_m, buoyancy_factor};
        table::natural_film(lanes, at, out);
    }
}

template <class Real, std::size_t Count>
[[gnu::always_inline]] inline void TabulatedFilm::both_naturals(const table::FilmPoint<Real> (&at)[Count],
                                                                Value<Real> (&out)[Count]) const {
    natural_part(naturals_[0], at, out);
    if (natural_count_ < 2) return;
    Value<Real> other[Count];
    natural_part(naturals_[1], at, other);
#pragma GCC unroll 4
    for (std::size_t i = 0; i < Count; ++i) {
        const auto leads = other[i].coefficient_w_per_m2_k > out[i].coefficient_w_per_m2_k;
        out[i].coefficient_w_per_m2_k = leads ? other[i].coefficient_w_per_m2_k : out[i].coefficient_w_per_m2_k;
        out[i].slope_surface = leads ? other[i].slope_surface : out[i].slope_surface;
        out[i].slope_air = leads ? other[i].slope_air : out[i].slope_air;
    }
}

template <class Real>
[[gnu::always_inline]] inline void TabulatedFilm::forced_part(const table::FilmPoint<Real>& at, const Real& factor,
                                                              Value<Real>& out) const {
    if (!forced_rows_) {
        out = {factor * table::number<Real>(forced_w_per_m2_k_), Real{}, Real{}};
        return;
    }
    table::Slope<Real> forced;
    if constexpr (table::is_single_v<Real>) {
        table::read_columns(forced_rows_->single, at.film_index, at.film_t, forced);
    } else {
        Real c[4];
        table::gather<Real>(forced_rows_->rows.front().data(), at.film_index, c);
        table::cubic(c, at.film_t, forced);
    }
    out.coefficient_w_per_m2_k = forced.value * factor;
    out.slope_surface = forced.slope * factor * table::number<Real>(0.5 / table::kFilmStepK);
    out.slope_air = out.slope_surface;
}

template <class Real, std::size_t Count>
[[gnu::always_inline]] inline void TabulatedFilm::evaluate(const Real (&surface_k)[Count], const Real (&air_k)[Count],
                                                           const Real (&forced_factor)[Count], Value<Real> (&out)[Count]) const {
    table::FilmPoint<Real> at[Count];
#pragma GCC unroll 4
    for (std::size_t i = 0; i < Count; ++i) table::place_film(surface_k[i], air_k[i], at[i]);
    Value<Real> forced[Count]{};
    if (has_forced_) {
#pragma GCC unroll 4
        for (std::size_t i = 0; i < Count; ++i) forced_part(at[i], forced_factor[i], forced[i]);
    }
    if (natural_count_ == 0) {
#pragma GCC unroll 4
        for (std::size_t i = 0; i < Count; ++i) out[i] = forced[i];
    } else {
#pragma GCC unroll 4
        for (std::size_t i = 0; i < Count; ++i) table::damp_film(at[i]);
        both_naturals(at, out);
        if (has_forced_) {
#pragma GCC unroll 4
            for (std::size_t i = 0; i < Count; ++i) table::combine_films(table::number<Real>(sign_), forced[i], out[i]);
        }
    }
#pragma GCC unroll 4
    for (std::size_t i = 0; i < Count; ++i) table::scale_film(table::number<Real>(multiplier_), out[i]);
}

}  // namespace bakewright::thermal
