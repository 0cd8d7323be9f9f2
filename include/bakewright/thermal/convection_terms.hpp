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
    ConvectionTerms(const Network& network, const RateLayout& layout) {
        TabulatedFilm::ForcedTables shared;
        for (const Convection& edge : network.convections())
            films_.push_back({FollowingTerm<Real>(edge.air, layout), layout.slot(edge.node), TabulatedFilm(edge.film, shared),
                              edge.area_m2, edge.factor, edge.forced_factor, Real{} + edge.area_m2});
        for (const GapConvection& edge : network.gap_convections())
            gaps_.push_back({layout.slot(edge.outer), layout.slot(edge.inner), TabulatedGap(edge.gap), edge.area_m2, edge.factor,
                             Real{} + edge.area_m2});
    }

    void set_member(const Member<Real>& member) {
        for (FilmTerm& film : films_) {
            film.air.set_member(member);
            film.area_m2 = member.of(film.factor) * film.plain_area_m2;
        }
        for (GapTerm& gap : gaps_) gap.area_m2 = member.of(gap.factor) * gap.plain_area_m2;
    }

    [[nodiscard]] std::size_t edge_count() const noexcept { return films_.size() + gaps_.size(); }
    static void append_edges(const Network& network, const RateLayout& layout, std::vector<FlowEdge>& edges) {
        for (const Convection& edge : network.convections())
            edges.push_back(layout.edge(edge.air.place, edge.node, edge.account));
        for (const GapConvection& edge : network.gap_convections())
            edges.push_back(layout.edge(edge.outer, edge.inner, edge.account));
    }

    void write_flows(std::size_t mode, const std::vector<Real>& temperature_k, Real* flow_w) const {
        for (const FilmTerm& film : films_) {
            const Real air_k = film.air.at(temperature_k);
            TabulatedFilm::Value<Real> h;
            evaluate(film.film, temperature_k[film.node], air_k, Real(Real{} + film.forced_factor[mode]), h);
            *flow_w++ = film.area_m2 * h.coefficient_w_per_m2_k * (air_k - temperature_k[film.node]);
        }
        for (const GapTerm& gap : gaps_) {
            TabulatedGap::Value<Real> h;
            evaluate(gap.gap, temperature_k[gap.outer], temperature_k[gap.inner], h);
            *flow_w++ = gap.area_m2 * h.coefficient_w_per_m2_k * (temperature_k[gap.outer] - temperature_k[gap.inner]);
        }
    }

    void write_slopes(std::size_t mode, const std::vector<Real>& temperature_k, Real* slope_w_per_k) const {
        for (const FilmTerm& film : films_) {
            const Slopes slopes = film_slopes(film, mode, temperature_k);
            *slope_w_per_k++ = slopes.per_air_w_per_k;
            *slope_w_per_k++ = slopes.per_node_w_per_k;
        }
        for (const GapTerm& gap : gaps_) {
            TabulatedGap::Value<Real> h;
            evaluate(gap.gap, temperature_k[gap.outer], temperature_k[gap.inner], h);
            const Real difference_k = temperature_k[gap.outer] - temperature_k[gap.inner];
            *slope_w_per_k++ = gap.area_m2 * (h.slope_outer * difference_k + h.coefficient_w_per_m2_k);
            *slope_w_per_k++ = gap.area_m2 * (h.slope_inner * difference_k - h.coefficient_w_per_m2_k);
        }
    }

    /// Gaps lie between nodes, which do not move by themselves.
    template <class SlopeOf>
    void write_boundary_rates(std::size_t mode, const std::vector<Real>& temperature_k, SlopeOf&& slope_k_per_s,
                              Real* rate_w_per_s) const {
        for (const FilmTerm& film : films_)
            *rate_w_per_s++ = film_slopes(film, mode, temperature_k).per_air_w_per_k * slope_k_per_s(film.air.slot);
        for (std::size_t g = 0; g < gaps_.size(); ++g) *rate_w_per_s++ = Real{};
    }

private:
    struct FilmTerm {
        FollowingTerm<Real> air;
        std::uint32_t node;
        TabulatedFilm film;
        double plain_area_m2;
        FactorIndex factor;
        ModeFactors forced_factor;
        Real area_m2;  ///< times the member's factor
    };
    struct GapTerm {
        std::uint32_t outer, inner;
        TabulatedGap gap;
        double plain_area_m2;
        FactorIndex factor;
        Real area_m2;
    };
    struct Slopes {
        Real per_air_w_per_k, per_node_w_per_k;
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
