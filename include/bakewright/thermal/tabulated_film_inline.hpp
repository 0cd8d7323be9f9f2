#pragma once

// Bodies of TabulatedFilm's templates; included by tabulated_film.hpp, and complete by itself.
#include "bakewright/thermal/tabulated_film.hpp"

namespace bakewright::thermal {

template <class Real>
[[gnu::always_inline]] inline void TabulatedFilm::natural_part(const Natural& part, const table::FilmPoint<Real>& at,
                                                               Value<Real>& out) {
    using Integer = typename table::VectorTraits<Real>::Integer;
    using Whole = typename table::Bits<table::scalar_t<Real>>::Whole;
    const Integer cooler = Integer{} + static_cast<Whole>(part.cooler_offset);
    const auto inverse_length_per_m = table::number<Real>(part.inverse_length_per_m);
    const auto buoyancy_factor = table::number<Real>(part.buoyancy_factor);
    if constexpr (table::is_single_v<Real>) {
        const table::SingleNaturalFilm<Real> lanes{part.single_curves,       Integer{} + part.single_warmer,
                                                   cooler + part.single_warmer, part.single_air,
                                                   inverse_length_per_m,     buoyancy_factor};
        table::natural_film(lanes, at, out);
    } else {
        const table::NaturalFilm<Real, double> lanes{
            part.warmer_rows,     Integer{}, cooler, part.air->conductivity_w_per_m_k.data(), Integer{}, inverse_length_per_m,
            buoyancy_factor};
        table::natural_film(lanes, at, out);
    }
}

template <class Real>
[[gnu::always_inline]] inline void TabulatedFilm::both_naturals(const table::FilmPoint<Real>& at, Value<Real>& out) const {
    natural_part(naturals_[0], at, out);
    if (natural_count_ < 2) return;
    Value<Real> other;
    natural_part(naturals_[1], at, other);
    const auto larger = other.coefficient_w_per_m2_k > out.coefficient_w_per_m2_k;
    out.coefficient_w_per_m2_k = larger ? other.coefficient_w_per_m2_k : out.coefficient_w_per_m2_k;
    out.slope_surface = larger ? other.slope_surface : out.slope_surface;
    out.slope_air = larger ? other.slope_air : out.slope_air;
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

template <class Real>
[[gnu::always_inline]] inline void TabulatedFilm::evaluate(const Real& surface_k, const Real& air_k, const Real& forced_factor,
                                                           Value<Real>& out) const {
    table::FilmPoint<Real> at;
    table::place_film(surface_k, air_k, at);
    Value<Real> forced{};
    if (has_forced_) forced_part(at, forced_factor, forced);
    if (natural_count_ == 0) {
        out = forced;
    } else {
        table::damp_film(at);
        both_naturals(at, out);
        if (has_forced_) table::combine_films(table::number<Real>(sign_), forced, out);
    }
    table::scale_film(table::number<Real>(multiplier_), out);
}

}  // namespace bakewright::thermal
