#pragma once

#include <cstdint>

#include "bakewright/thermal/convection_table.hpp"
#include "bakewright/thermal/gap.hpp"

namespace bakewright::thermal {

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
