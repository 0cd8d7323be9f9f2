// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <cstdint>
#include <type_traits>
#include <vector>

#include "film_batch.hpp"
#include "rate_layout.hpp"
#include "tabulated_film.hpp"
#include "tabulated_lanes.hpp"

namespace bakewright::thermal {

/// The films of a network whose coefficients come from correlations, in their tabulated form, with exact slopes.
template <class Real>
class ConvectionTerms {
public:
    ConvectionTerms(const Network& network, const RateLayout& layout) {
        TabulatedFilm::ForcedTables shared;
        for (const Convection& edge : network.convections())
            films_.push_back({FollowingTerm<Real>(edge.air, layout), layout.slot(edge.node), TabulatedFilm(edge.film, shared),
                              edge.area_m2, edge.factor, ModeTerm<Real>(edge.forced_factor, edge.factor_by_mode),
                              Real{} + edge.area_m2});
        for (const GapConvection& edge : network.gap_convections())
            gaps_.push_back({layout.slot(edge.outer), layout.slot(edge.inner), TabulatedGap(edge.gap), edge.area_m2, edge.factor,
                             Real{} + edge.area_m2});
        if constexpr (kBatched) set_up_batch();
    }

    void set_member(const Member<Real>& member) {
        for (FilmTerm& film : films_) {
            film.air.set_member(member);
            film.forced.set_member(member);
            film.area_m2 = member.of(film.factor) * film.plain_area_m2;
        }
        for (GapTerm& gap : gaps_) gap.area_m2 = member.of(gap.factor) * gap.plain_area_m2;
    }

    void set_heated(bool is_heated) {
        for (FilmTerm& film : films_) film.air.set_heated(is_heated);
    }

    [[nodiscard]] std::size_t edge_count() const noexcept { return films_.size() + gaps_.size(); }
    static void append_edges(const Network& network, const RateLayout& layout, std::vector<FlowEdge>& edges) {
        for (const Convection& edge : network.convections())
            edges.push_back(layout.edge(edge.air.place, edge.node, edge.account));
        for (const GapConvection& edge : network.gap_convections())
            edges.push_back(layout.edge(edge.outer, edge.inner, edge.account));
    }

    void write_flows(std::size_t mode, const std::vector<Real>& temperature_k, Real* flow_w) const {
        write_film_flows<false>(mode, temperature_k, flow_w, nullptr);
        write_gap_flows<false>(temperature_k, flow_w + films_.size(), nullptr);
    }

    /// Flows, and beside them their slopes [W/K], two an edge.
    void write_flows_and_slopes(std::size_t mode, const std::vector<Real>& temperature_k, Real* flow_w,
                                Real* slope_w_per_k) const {
        write_film_flows<true>(mode, temperature_k, flow_w, slope_w_per_k);
        write_gap_flows<true>(temperature_k, flow_w + films_.size(), slope_w_per_k + 2 * films_.size());
    }

private:
    struct FilmTerm {
        FollowingTerm<Real> air;
        std::uint32_t node;
        TabulatedFilm film;
        double plain_area_m2;
        FactorIndex factor;
        ModeTerm<Real> forced;
        Real area_m2;  ///< times the member's factor
    };
    struct GapTerm {
        std::uint32_t outer, inner;
        TabulatedGap gap;
        double plain_area_m2;
        FactorIndex factor;
        Real area_m2;
    };
    /// A network's own films go through a batch, each in a lane of its own; a pack's lanes are members.
    static constexpr bool kBatched = std::is_same_v<Real, double>;

    // Whether there are slopes is known when the program is built, so that nothing is worked out for none.
    template <bool WithSlopes>
    void write_film_flows(std::size_t mode, const std::vector<Real>& temperature_k, Real* flow_w, Real* slope_w_per_k) const {
        if constexpr (kBatched) {
            evaluate_batch(mode, temperature_k, WithSlopes);
            for (std::size_t i = 0; i < films_.size(); ++i)
                write_film<WithSlopes>(films_[i], batched_.value(i), temperature_k, batched_.air_k[i] - batched_.surface_k[i],
                                       flow_w++, slope_w_per_k);
        } else {
            for (const FilmTerm& film : films_) {
                const Real air_k = film.air.at(temperature_k);
                TabulatedFilm::Value<Real> h;
                evaluate(film.film, temperature_k[film.node], air_k, film.forced.factor[mode], h);
                write_film<WithSlopes>(film, h, temperature_k, air_k - temperature_k[film.node], flow_w++, slope_w_per_k);
            }
        }
    }
    template <bool WithSlopes>
    [[gnu::always_inline]] static void write_film(const FilmTerm& film, const TabulatedFilm::Value<Real>& h,
                                                  const std::vector<Real>& temperature_k, const Real& difference_k, Real* flow_w,
                                                  Real*& slope_w_per_k) {
        *flow_w = film.area_m2 * h.coefficient_w_per_m2_k * difference_k;
        if constexpr (!WithSlopes) return;
        *slope_w_per_k++ = film.area_m2 * film.air.slope(temperature_k) * (h.slope_air * difference_k + h.coefficient_w_per_m2_k);
        *slope_w_per_k++ = film.area_m2 * (h.slope_surface * difference_k - h.coefficient_w_per_m2_k);
    }

    template <bool WithSlopes>
    void write_gap_flows(const std::vector<Real>& temperature_k, Real* flow_w, Real* slope_w_per_k) const {
        for (const GapTerm& gap : gaps_) {
            TabulatedGap::Value<Real> h;
            evaluate(gap.gap, temperature_k[gap.outer], temperature_k[gap.inner], h);
            const Real difference_k = temperature_k[gap.outer] - temperature_k[gap.inner];
            *flow_w++ = gap.area_m2 * h.coefficient_w_per_m2_k * difference_k;
            if constexpr (!WithSlopes) continue;
            *slope_w_per_k++ = gap.area_m2 * (h.slope_outer * difference_k + h.coefficient_w_per_m2_k);
            *slope_w_per_k++ = gap.area_m2 * (h.slope_inner * difference_k - h.coefficient_w_per_m2_k);
        }
    }

    /// What goes into a batch and comes out of it.
    struct Batched {
        std::vector<double> surface_k, air_k, forced_factor, coefficient, slope_surface, slope_air;

        void resize(std::size_t count) {
            for (auto* column : {&surface_k, &air_k, &coefficient, &slope_surface, &slope_air}) column->assign(count, 300.0);
            forced_factor.assign(count, 1.0);
        }
        [[nodiscard]] TabulatedFilm::Value<double> value(std::size_t i) const {
            return {coefficient[i], slope_surface[i], slope_air[i]};
        }
    };
    void set_up_batch() {
        std::vector<TabulatedFilm> films;
        for (const FilmTerm& film : films_) films.push_back(film.film);
        batch_ = FilmBatch(films);
        batched_.resize(batch_.padded_count());
    }
    void evaluate_batch(std::size_t mode, const std::vector<Real>& temperature_k, bool with_slopes) const {
        for (std::size_t i = 0; i < films_.size(); ++i) {
            batched_.surface_k[i] = temperature_k[films_[i].node];
            batched_.air_k[i] = films_[i].air.at(temperature_k);
            batched_.forced_factor[i] = films_[i].forced.factor[mode];
        }
        batch_.evaluate({batched_.surface_k.data(), batched_.air_k.data(), batched_.forced_factor.data(),
                         batched_.coefficient.data(), with_slopes ? batched_.slope_surface.data() : nullptr,
                         with_slopes ? batched_.slope_air.data() : nullptr});
    }

    std::vector<FilmTerm> films_;
    std::vector<GapTerm> gaps_;
    FilmBatch batch_;          // of plain numbers only
    mutable Batched batched_;  // scratch
};

}  // namespace bakewright::thermal
