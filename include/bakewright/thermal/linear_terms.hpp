#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "bakewright/thermal/rate_layout.hpp"

namespace bakewright::thermal {

/// The edges of a network whose flow is linear in temperature: conduction, and films with a given coefficient.
template <class Real>
class LinearTerms {
public:
    LinearTerms(const Network& network, const RateLayout& layout) {
        for (const Conduction& edge : network.conductions())
            conductions_.push_back({layout.slot(edge.from), layout.slot(edge.to), edge.conductance_w_per_k, edge.factor,
                                    Real{} + edge.conductance_w_per_k});
        for (const Film& edge : network.films()) {
            films_.push_back({FollowingTerm<Real>(edge.air, layout), layout.slot(edge.node), edge.conductance_w_per_k,
                              edge.factor, ModeTerm<Real>(edge.mode_factor, edge.factor_by_mode),
                              Real{} + edge.conductance_w_per_k});
            if (films_.back().air.follows_above_a_level()) bent_films_.push_back(films_.size() - 1);
        }
    }

    void set_heated(bool is_heated) {
        for (FilmTerm& edge : films_) edge.air.set_heated(is_heated);
    }

    [[nodiscard]] std::size_t edge_count() const noexcept { return conductions_.size() + films_.size(); }

    void set_member(const Member<Real>& member) {
        for (ConductionTerm& edge : conductions_) edge.conductance_w_per_k = member.of(edge.factor) * edge.plain_w_per_k;
        for (FilmTerm& edge : films_) {
            edge.air.set_member(member);
            edge.mode.set_member(member);
            edge.conductance_w_per_k = member.of(edge.factor) * edge.plain_w_per_k;
        }
    }

    /// The edges in the order in which the others write them.
    static void append_edges(const Network& network, const RateLayout& layout, std::vector<FlowEdge>& edges) {
        for (const Conduction& edge : network.conductions()) edges.push_back(layout.edge(edge.from, edge.to, edge.account));
        for (const Film& edge : network.films()) edges.push_back(layout.edge(edge.air.place, edge.node, edge.account));
    }

    /// Flows [W]. @param flow_w  of the first edge; so in the others
    void write_flows(std::size_t mode, const std::vector<Real>& temperature_k, Real* flow_w) const {
        for (const ConductionTerm& edge : conductions_)
            *flow_w++ = edge.conductance_w_per_k * (temperature_k[edge.from] - temperature_k[edge.to]);
        for (const FilmTerm& edge : films_)
            *flow_w++ =
                edge.conductance_w_per_k * edge.mode.factor[mode] * (edge.air.at(temperature_k) - temperature_k[edge.node]);
    }

    /// Slopes [W/K] of the flows, two an edge. They do not change as long as the mode does not, but for those that
    /// write_bent_slopes() writes.
    void write_slopes(std::size_t mode, Real* slope_w_per_k) const {
        for (const ConductionTerm& edge : conductions_) {
            *slope_w_per_k++ = edge.conductance_w_per_k;
            *slope_w_per_k++ = -edge.conductance_w_per_k;
        }
        for (const FilmTerm& edge : films_) {
            const Real conductance_w_per_k = edge.conductance_w_per_k * edge.mode.factor[mode];
            *slope_w_per_k++ = conductance_w_per_k * edge.air.gain;
            *slope_w_per_k++ = -conductance_w_per_k;
        }
    }
    /// Slopes of films whose air follows a place above a level alone: they depend on the side of it. @param  as write_slopes()
    void write_bent_slopes(std::size_t mode, const std::vector<Real>& temperature_k, Real* slope_w_per_k) const {
        for (const std::size_t film : bent_films_) {
            const FilmTerm& edge = films_[film];
            slope_w_per_k[2 * (conductions_.size() + film)] =
                edge.conductance_w_per_k * edge.mode.factor[mode] * edge.air.slope(temperature_k);
        }
    }

private:
    struct ConductionTerm {
        std::uint32_t from, to;
        double plain_w_per_k;
        FactorIndex factor;
        Real conductance_w_per_k;  ///< times the member's factor
    };
    struct FilmTerm {
        FollowingTerm<Real> air;
        std::uint32_t node;
        double plain_w_per_k;
        FactorIndex factor;
        ModeTerm<Real> mode;
        Real conductance_w_per_k;  ///< times the member's factor
    };

    std::vector<ConductionTerm> conductions_;
    std::vector<FilmTerm> films_;
    std::vector<std::size_t> bent_films_;
};

}  // namespace bakewright::thermal
