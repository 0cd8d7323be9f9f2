#pragma once

// Bodies of TabulatedFilm's templates; included by tabulated_film.hpp, and complete by itself.
#include "bakewright/thermal/tabulated_film.hpp"

namespace bakewright::thermal {

template <class Real>
[[gnu::always_inline]] inline void TabulatedFilm::natural_part(const Natural& part, const Point<Real>& at, Value<Real>& out) {
    using Integer = typename table::VectorTraits<Real>::Integer;
    const double* air = part.air->conductivity_w_per_m_k.data();
    constexpr std::size_t stride = sizeof(table::AirRow) / sizeof(double);
    Real c[4];
    table::Slope<Real> conductivity, buoyancy, nusselt;
    table::gather<Real>(air, stride, at.film_index, c);
    table::cubic(c, at.film_t, conductivity);
    table::gather<Real>(air + 4, stride, at.film_index, c);
    table::cubic(c, at.film_t, buoyancy);

    const Integer cooler = Integer{} + part.cooler_offset;
    const Integer offset = at.difference_k < Real{} ? cooler : Integer{};
    table::read_curve<Real>(part.warmer_rows, offset, buoyancy.value * at.spread_k2 * part.buoyancy_factor, nusselt);

    const Real plain = conductivity.value * nusselt.value * part.inverse_length_per_m;
    // Half a step of film temperature for each kelvin of either side.
    const Real by_film = (conductivity.slope * nusselt.value +
                          conductivity.value * nusselt.slope * buoyancy.slope * at.spread_k2 * part.buoyancy_factor) *
                         (part.inverse_length_per_m * 0.5 / table::kFilmStepK);
    const Real by_difference = conductivity.value * nusselt.slope * buoyancy.value * at.difference_k *
                               (2.0 * part.inverse_length_per_m * part.buoyancy_factor);
    out.coefficient_w_per_m2_k = plain * at.damping;
    out.slope_surface = (by_film + by_difference) * at.damping + plain * at.damping_slope;
    out.slope_air = (by_film - by_difference) * at.damping - plain * at.damping_slope;
}

template <class Real>
[[gnu::always_inline]] inline void TabulatedFilm::both_naturals(const Point<Real>& at, Value<Real>& out) const {
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
[[gnu::always_inline]] inline void TabulatedFilm::forced_part(const Point<Real>& at, const Real& factor, Value<Real>& out) const {
    if (!forced_rows_) {
        out = {factor * forced_w_per_m2_k_, Real{}, Real{}};
        return;
    }
    Real c[4];
    table::Slope<Real> forced;
    table::gather<Real>(forced_rows_->front().data(), 4, at.film_index, c);
    table::cubic(c, at.film_t, forced);
    out.coefficient_w_per_m2_k = forced.value * factor;
    out.slope_surface = forced.slope * factor * (0.5 / table::kFilmStepK);
    out.slope_air = out.slope_surface;
}

/// h^3 = forced^3 +- natural^3. With the larger M and the smaller m, h = M cbrt(1 +- (m/M)^3), the root by one step of Halley's
/// method from a cubic that is within 1.5 % between 1/8 and 2: 2.3e-6 of relative error.
template <class Real>
[[gnu::always_inline]] inline void TabulatedFilm::combine(const Value<Real>& forced, Value<Real>& in_out) const {
    const Real natural_h = in_out.coefficient_w_per_m2_k;
    const Real forced_h = forced.coefficient_w_per_m2_k;
    const auto natural_leads = natural_h > forced_h;
    const Real larger = natural_leads ? natural_h : forced_h;
    const Real smaller = natural_leads ? forced_h : natural_h;
    const double sign = opposing_ ? -1.0 : 1.0;
    const Real share = smaller / (larger + 1e-30);
    const Real exact = share * share * share * sign + 1.0;
    Real x = exact;
    table::clamp(x, 0.125, 2.0);
    const Real guess = ((x * 0.16122833934962497 - 0.6652069654685122) * x + 1.1371465824290574) * x + 0.37537749599780157;
    const Real guess_cubed = guess * guess * guess;
    const Real above = guess * (guess_cubed + x * 2.0);
    const Real below = guess_cubed * 2.0 + x;
    const Real inverse = 1.0 / (above * below);  // one division for the root and its inverse
    const Real root = above * above * inverse;

    // dh = (M/h)^2 dM +- (m/h)^2 dm; on the floor of opposing flow h = M/2.
    const Real inverse_root = below * below * inverse;
    const Real larger_weight_free = inverse_root * inverse_root;
    const Real smaller_weight_free = share * share * larger_weight_free * sign;
    const auto floored = exact < x;
    const Real larger_weight = floored ? Real{} + 0.5 : larger_weight_free;
    const Real smaller_weight = floored ? Real{} : smaller_weight_free;
    const Real natural_weight = natural_leads ? larger_weight : smaller_weight;
    const Real forced_weight = natural_leads ? smaller_weight : larger_weight;
    in_out.coefficient_w_per_m2_k = larger * root;
    in_out.slope_surface = in_out.slope_surface * natural_weight + forced.slope_surface * forced_weight;
    in_out.slope_air = in_out.slope_air * natural_weight + forced.slope_air * forced_weight;
}

template <class Real>
[[gnu::always_inline]] inline void TabulatedFilm::evaluate(const Real& surface_k, const Real& air_k, const Real& forced_factor,
                                                           Value<Real>& out) const {
    Point<Real> at;
    at.difference_k = surface_k - air_k;
    at.spread_k2 = at.difference_k * at.difference_k + kEqualityK * kEqualityK;
    table::locate_film<Real>((surface_k + air_k) * 0.5, at.film_index, at.film_t);
    Value<Real> forced{};
    if (has_forced_) forced_part(at, forced_factor, forced);
    if (natural_count_ == 0) {
        out = forced;
    } else {
        const Real inverse_spread = 1.0 / at.spread_k2;
        at.damping = 1.0 - inverse_spread * (kEqualityK * kEqualityK);
        at.damping_slope = at.difference_k * inverse_spread * inverse_spread * (2.0 * kEqualityK * kEqualityK);
        both_naturals(at, out);
        if (has_forced_) combine(forced, out);
    }
    out.coefficient_w_per_m2_k *= multiplier_;
    out.slope_surface *= multiplier_;
    out.slope_air *= multiplier_;
}

}  // namespace bakewright::thermal
