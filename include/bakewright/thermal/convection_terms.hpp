#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "bakewright/thermal/rate_layout.hpp"
#include "bakewright/thermal/tabulated_film.hpp"
#include "bakewright/thermal/tabulated_film_inline.hpp"
#include "bakewright/thermal/tabulated_gap.hpp"
#include "bakewright/thermal/tabulated_lanes.hpp"

namespace bakewright::thermal {

/// The films of a network whose coefficients come from correlations, in their tabulated form, with exact slopes.
template <class Real>
class ConvectionTerms {
public:
    using Edge = typename FlowJacobian<Real>::Edge;

    ConvectionTerms(const Network& network, const RateLayout& layout) {
        for (const Convection& edge : network.convections())
            films_.push_back({FollowingTerm<Real>(edge.air, layout), layout.slot(edge.node), layout.account(edge.account),
                              TabulatedFilm(edge.film), edge.area_m2, edge.factor, edge.forced_factor, Real{} + edge.area_m2});
        for (const GapConvection& edge : network.gap_convections())
            gaps_.push_back({layout.slot(edge.outer), layout.slot(edge.inner), layout.account(edge.account),
                             TabulatedGap(edge.gap), edge.area_m2, edge.factor, Real{} + edge.area_m2});
    }

    void set_member(const Member<Real>& member) {
        for (FilmTerm& film : films_) {
            film.air.set_member(member);
            film.area_m2 = member.of(film.factor) * film.plain_area_m2;
        }
        for (GapTerm& gap : gaps_) gap.area_m2 = member.of(gap.factor) * gap.plain_area_m2;
    }

    /// In the order of add_to_jacobian().
    void append_edges(const RateLayout& layout, std::vector<Edge>& edges) const {
        const auto row = [&](std::uint32_t slot) { return layout.template row<Real>(slot); };
        for (const FilmTerm& film : films_) edges.push_back({row(film.air.slot), row(film.node), row(film.account)});
        for (const GapTerm& gap : gaps_) edges.push_back({row(gap.outer), row(gap.inner), row(gap.account)});
    }

    void add_flows(std::size_t mode, const std::vector<Real>& temperature_k, std::vector<Real>& flow_w) const {
        for (const FilmTerm& film : films_) {
            const Real air_k = film.air.at(temperature_k);
            TabulatedFilm::Value<Real> h;
            evaluate(film.film, temperature_k[film.node], air_k, Real(Real{} + film.forced_factor[mode]), h);
            book_flow<Real>(flow_w, film.air.slot, film.node, film.account,
                            film.area_m2 * h.coefficient_w_per_m2_k * (air_k - temperature_k[film.node]));
        }
        for (const GapTerm& gap : gaps_) {
            TabulatedGap::Value<Real> h;
            evaluate(gap.gap, temperature_k[gap.outer], temperature_k[gap.inner], h);
            book_flow<Real>(flow_w, gap.outer, gap.inner, gap.account,
                            gap.area_m2 * h.coefficient_w_per_m2_k * (temperature_k[gap.outer] - temperature_k[gap.inner]));
        }
    }

    /// Adds the edges from number on; returns the number behind the last.
    std::size_t add_to_jacobian(std::size_t number, std::size_t mode, const std::vector<Real>& temperature_k,
                                const FlowJacobian<Real>& jacobian, std::vector<Real>& sums) const {
        for (const FilmTerm& film : films_) {
            const Slopes slopes = film_slopes(film, mode, temperature_k);
            jacobian.add(number++, slopes.per_from_w_per_k, slopes.per_to_w_per_k, sums);
        }
        for (const GapTerm& gap : gaps_) {
            TabulatedGap::Value<Real> h;
            evaluate(gap.gap, temperature_k[gap.outer], temperature_k[gap.inner], h);
            const Real difference_k = temperature_k[gap.outer] - temperature_k[gap.inner];
            jacobian.add(number++, gap.area_m2 * (h.slope_outer * difference_k + h.coefficient_w_per_m2_k),
                         gap.area_m2 * (h.slope_inner * difference_k - h.coefficient_w_per_m2_k), sums);
        }
        return number;
    }

    /// What the moving of boundaries does to the flows [W/s]. @param slope_k_per_s  of a slot
    template <class SlopeOf>
    void add_flow_slopes(std::size_t mode, const std::vector<Real>& temperature_k, SlopeOf&& slope_k_per_s,
                         std::vector<Real>& flow_w) const {
        for (const FilmTerm& film : films_)
            book_flow<Real>(flow_w, film.air.slot, film.node, film.account,
                            film_slopes(film, mode, temperature_k).per_from_w_per_k * slope_k_per_s(film.air.slot));
    }

private:
    struct FilmTerm {
        FollowingTerm<Real> air;
        std::uint32_t node, account;
        TabulatedFilm film;
        double plain_area_m2;
        FactorIndex factor;
        ModeFactors forced_factor;
        Real area_m2;  ///< times the member's factor
    };
    struct GapTerm {
        std::uint32_t outer, inner, account;
        TabulatedGap gap;
        double plain_area_m2;
        FactorIndex factor;
        Real area_m2;
    };
    struct Slopes {
        Real per_from_w_per_k, per_to_w_per_k;
    };

    [[nodiscard]] static Slopes film_slopes(const FilmTerm& film, std::size_t mode, const std::vector<Real>& temperature_k) {
        const Real air_k = film.air.at(temperature_k);
        TabulatedFilm::Value<Real> h;
        evaluate(film.film, temperature_k[film.node], air_k, Real(Real{} + film.forced_factor[mode]), h);
        const Real difference_k = air_k - temperature_k[film.node];
        return {film.area_m2 * film.air.gain * (h.slope_air * difference_k + h.coefficient_w_per_m2_k),
                film.area_m2 * (h.slope_surface * difference_k - h.coefficient_w_per_m2_k)};
    }

    std::vector<FilmTerm> films_;
    std::vector<GapTerm> gaps_;
};

}  // namespace bakewright::thermal
