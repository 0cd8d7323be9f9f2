// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <vector>

#include "bakewright/thermal/films.hpp"
#include "convection_table.hpp"
#include "film_arithmetic.hpp"

namespace bakewright::thermal {

/// film_coefficient_w_per_m2_k() of one model as tables: no power, root or logarithm; a few nanoseconds a call; the same code on
/// packs, and on floats, for which the same tables are kept in single precision.
///
/// Error against the exact form, film temperature 230 to 495 K: at most 0.1 % of h where |surface - air| >= 1 K; nearer to
/// equality the heat flux is off by less than 0.02 W/m2. Further off: up to 1.5 % within 12.5 K of the film temperature at which
/// a given stream turns turbulent, where the exact form has a corner that the table rounds; up to 0.4 % where opposing flows
/// nearly cancel. Smoothness: h and the heat flux have continuous slopes in both temperatures, except at the change between the
/// two rules of an inclined face and at the floor of opposing flow (continuous there, slope jumps). Near equality: natural
/// convection is multiplied by dT^2 / (dT^2 + d^2), d = 0.02 K, so that h and its slopes stay finite, and the two correlations of
/// a horizontal face, which differ by sign, meet in zero. Outside 225 to 500 K the coefficients of the nearest end are held.
class TabulatedFilm {
public:
    /// Forced parts by speed, made once for all films that share speed and length.
    class ForcedTables;

    /// @throws PromiseError where problems_in(model) is not empty
    explicit TabulatedFilm(const FilmModel& model);
    /// The same, with a forced part taken from those at hand, or added to them.
    TabulatedFilm(const FilmModel& model, ForcedTables& shared);
    // Defined in the source file, so that a file compiled for another instruction set holds no copy of them.
    TabulatedFilm(const TabulatedFilm&);
    TabulatedFilm(TabulatedFilm&&) noexcept;
    TabulatedFilm& operator=(const TabulatedFilm&);
    TabulatedFilm& operator=(TabulatedFilm&&) noexcept;
    ~TabulatedFilm();

    template <class Real>
    using Value = table::FilmValue<Real>;

    /// @param forced_factor  >= 0, on the forced part alone: fan mode, or an ensemble member's share
    template <class Real>
    [[gnu::always_inline]] void evaluate(const Real& surface_k, const Real& air_k, const Real& forced_factor,
                                         Value<Real>& out) const {
        Value<Real> value[1];
        evaluate({surface_k}, {air_k}, {forced_factor}, value);
        out = value[0];
    }
    /// The same, of a few vectors side by side.
    template <class Real, std::size_t Count>
    void evaluate(const Real (&surface_k)[Count], const Real (&air_k)[Count], const Real (&forced_factor)[Count],
                  Value<Real> (&out)[Count]) const;

    [[nodiscard]] double coefficient_w_per_m2_k(double surface_k, double air_k, double forced_factor = 1.0) const;

    static constexpr double kEqualityK = table::kEqualityK;
    struct ForcedRows {
        std::array<table::CubicRow, table::kFilmSegments> rows;
        table::SingleColumns single;
    };

private:
    /// One correlation: k/L F(L^6 G (dT^2 + d^2)), with a curve each for a surface warmer and cooler than the air.
    struct Natural {
        const double* warmer_rows = nullptr;
        std::int64_t cooler_offset = 0;  ///< rows from the warmer to the cooler curve
        const table::AirRow* air = nullptr;
        const table::SingleTable* single_curves = nullptr;
        std::int32_t single_warmer = 0;  ///< row of the warmer curve
        const table::SingleAir* single_air = nullptr;
        double inverse_length_per_m = 0.0;
        double buoyancy_factor = 0.0;
    };

    static Natural natural(table::Curve warmer, table::Curve cooler, double length_m, double gravity_share, double pressure_pa);
    void add_naturals(const FilmModel& model);
    void add_forced(const FilmModel& model, ForcedTables& shared);

    template <class Real, std::size_t Count>
    static void natural_part(const Natural& part, const table::FilmPoint<Real> (&at)[Count], Value<Real> (&out)[Count]);
    template <class Real, std::size_t Count>
    void both_naturals(const table::FilmPoint<Real> (&at)[Count], Value<Real> (&out)[Count]) const;
    template <class Real>
    void forced_part(const table::FilmPoint<Real>& at, const Real& factor, Value<Real>& out) const;

    friend class FilmBatch;
    std::array<Natural, 2> naturals_;
    int natural_count_ = 0;
    bool has_forced_ = false;
    double forced_w_per_m2_k_ = 0.0;                 ///< where it does not depend on temperature
    std::shared_ptr<const ForcedRows> forced_rows_;  ///< else
    double sign_ = 1.0;                              ///< of the combination
    double multiplier_ = 1.0;
};

class TabulatedFilm::ForcedTables {
public:
    // Defined in the source file, so that a file compiled for another instruction set holds no copy of them.
    ForcedTables();
    ForcedTables(const ForcedTables&) = delete;
    ForcedTables& operator=(const ForcedTables&) = delete;
    ~ForcedTables();
    [[nodiscard]] std::shared_ptr<const ForcedRows> of(const FilmModel& model);

private:
    struct Entry {
        FilmModel model;  ///< natural part left out
        std::shared_ptr<const ForcedRows> rows;
    };
    std::vector<Entry> entries_;
};

// Bodies of TabulatedFilm's templates; included by tabulated_film.hpp, and complete by itself.

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

/// gap_coefficient_w_per_m2_k() of one gap as tables, as TabulatedFilm is for films. Radiation is not in it.
///
/// Error against the exact form, film temperature 230 to 495 K: at most 0.1 %, and 1.5 % close to Ra = 1708 and 5830 in a layer
/// heated from below, where the exact form has corners that the table rounds. Slopes are continuous except where the aspect-ratio
/// term takes the lead in a cavity between walls, and across equal temperatures of a horizontal gap, where both sides have Nu
/// = 1.
class TabulatedGap {
public:
    /// @throws PromiseError where problems_in(model) is not empty
    explicit TabulatedGap(const GapModel& model);

    template <class Real>
    struct Value {
        Real coefficient_w_per_m2_k;
        Real slope_outer;  ///< dh/douter_k [W/(m2 K2)]
        Real slope_inner;  ///< dh/dinner_k [W/(m2 K2)]
    };

    template <class Real>
    [[gnu::always_inline]] void evaluate(const Real& outer_k, const Real& inner_k, Value<Real>& out) const {
        using table::number;
        using Integer = typename table::VectorTraits<Real>::Integer;
        Integer film_index;
        Real film_t;
        table::Slope<Real> conductivity, buoyancy, nusselt;
        table::locate_film<Real>((outer_k + inner_k) * number<Real>(0.5), film_index, film_t);
        read_air(film_index, film_t, conductivity, buoyancy);

        const auto inverse_width_per_m = number<Real>(inverse_width_per_m_);
        const Real difference_k = outer_k - inner_k;
        const Real squared = difference_k * difference_k * number<Real>(buoyancy_factor_);
        const Integer cooler = Integer{} + static_cast<Whole<Real>>(cooler_offset_);
        const Integer offset = difference_k < Real{} ? cooler : Integer{};
        read_nusselt(offset, buoyancy.value * squared, nusselt);

        out.coefficient_w_per_m2_k = conductivity.value * nusselt.value * inverse_width_per_m;
        const Real by_film =
            (conductivity.slope * nusselt.value + conductivity.value * nusselt.slope * buoyancy.slope * squared) *
            number<Real>(0.5 * inverse_width_per_m_ / table::kFilmStepK);
        const Real by_difference = conductivity.value * nusselt.slope * buoyancy.value * difference_k *
                                   number<Real>(2.0 * inverse_width_per_m_ * buoyancy_factor_);
        out.slope_outer = by_film + by_difference;
        out.slope_inner = by_film - by_difference;
    }

    [[nodiscard]] double coefficient_w_per_m2_k(double outer_k, double inner_k) const;

private:
    template <class Real>
    using Whole = typename table::Bits<table::scalar_t<Real>>::Whole;

    template <class Real>
    [[gnu::always_inline]] void read_air(const typename table::VectorTraits<Real>::Integer& index, const Real& t,
                                         table::Slope<Real>& conductivity, table::Slope<Real>& buoyancy) const {
        if constexpr (table::is_single_v<Real>) {
            table::read_columns(single_air_->conductivity_w_per_m_k, index, t, conductivity);
            table::read_columns(single_air_->buoyancy, index, t, buoyancy);
        } else {
            Real c[4];
            table::gather<Real>(air_->conductivity_w_per_m_k.data(), index * 2, c);
            table::cubic(c, t, conductivity);
            table::gather<Real>(air_->buoyancy.data(), index * 2, c);
            table::cubic(c, t, buoyancy);
        }
    }
    /// @param rows  of a curve in double precision, row in the table of all in single
    template <class Real>
    [[gnu::always_inline]] void read_curve(const double* rows, std::int32_t row,
                                           const typename table::VectorTraits<Real>::Integer& offset, const Real& y,
                                           table::Slope<Real>& out) const {
        if constexpr (table::is_single_v<Real>)
            table::read_curve<Real>(*single_curves_, offset + row, y, out);
        else
            table::read_curve<Real>(rows, offset, y, out);
    }

    template <class Real>
    [[gnu::always_inline]] void read_nusselt(const typename table::VectorTraits<Real>::Integer& offset, const Real& y,
                                             table::Slope<Real>& nusselt) const {
        read_curve<Real>(warmer_rows_, single_warmer_, offset, y, nusselt);
        if (aspect_rows_ == nullptr) return;
        table::Slope<Real> aspect;
        read_curve<Real>(aspect_rows_, table::first_row(table::Curve::gap_aspect), typename table::VectorTraits<Real>::Integer{},
                         y, aspect);
        aspect.value *= table::number<Real>(aspect_factor_);
        aspect.slope *= table::number<Real>(aspect_factor_);
        const auto leads = aspect.value > nusselt.value;
        nusselt.value = leads ? aspect.value : nusselt.value;
        nusselt.slope = leads ? aspect.slope : nusselt.slope;
    }

    const double* warmer_rows_ = nullptr;  ///< outer face warmer
    std::int64_t cooler_offset_ = 0;
    const double* aspect_rows_ = nullptr;
    const table::SingleTable* single_curves_ = nullptr;
    std::int32_t single_warmer_ = 0;
    double aspect_factor_ = 0.0;
    const table::AirRow* air_ = nullptr;
    const table::SingleAir* single_air_ = nullptr;
    double inverse_width_per_m_ = 0.0;
    double buoyancy_factor_ = 0.0;
};

}  // namespace bakewright::thermal
