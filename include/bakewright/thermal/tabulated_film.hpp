#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <vector>

#include "bakewright/thermal/convection_table.hpp"
#include "bakewright/thermal/film_arithmetic.hpp"
#include "bakewright/thermal/film_model.hpp"

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

}  // namespace bakewright::thermal

#include "bakewright/thermal/tabulated_film_inline.hpp"
