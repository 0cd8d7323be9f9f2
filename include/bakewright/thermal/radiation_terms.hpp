#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "bakewright/base/units.hpp"
#include "bakewright/thermal/rate_layout.hpp"

namespace bakewright::thermal {

/// The exchanges of radiation of a network, by the full fourth power.
template <class Real>
class RadiationTerms {
public:
    RadiationTerms(const Network& network, const RateLayout& layout) {
        for (const Radiation& edge : network.radiations())
            terms_.push_back({FollowingTerm<Real>(edge.wall, layout), layout.slot(edge.node),
                              edge.exchange_area_m2 * kStefanBoltzmann, edge.factor,
                              Real{} + edge.exchange_area_m2 * kStefanBoltzmann});
    }

    void set_member(const Member<Real>& member) {
        for (Term& term : terms_) {
            term.wall.set_member(member);
            term.exchange_w_per_k4 = member.of(term.factor) * term.plain_w_per_k4;
        }
    }

    void set_heated(bool is_heated) {
        for (Term& term : terms_) term.wall.set_heated(is_heated);
    }

    [[nodiscard]] std::size_t edge_count() const noexcept { return terms_.size(); }
    static void append_edges(const Network& network, const RateLayout& layout, std::vector<FlowEdge>& edges) {
        for (const Radiation& edge : network.radiations()) edges.push_back(layout.edge(edge.wall.place, edge.node, edge.account));
    }

    void write_flows(const std::vector<Real>& temperature_k, Real* flow_w) const {
        for (const Term& term : terms_) {
            const Real wall_k = term.wall.at(temperature_k);
            const Real node_k = temperature_k[term.node];
            // (a^4 - b^4) as a product: exact zero for equal temperatures and no cancellation near them.
            *flow_w++ = term.exchange_w_per_k4 * ((wall_k - node_k) * (wall_k + node_k) * (wall_k * wall_k + node_k * node_k));
        }
    }

    void write_slopes(const std::vector<Real>& temperature_k, Real* slope_w_per_k) const {
        for (const Term& term : terms_) {
            const Real node_k = temperature_k[term.node];
            *slope_w_per_k++ = per_wall_w_per_k(term, temperature_k);
            *slope_w_per_k++ = term.exchange_w_per_k4 * (node_k * node_k * node_k * -4.0);
        }
    }

private:
    struct Term {
        FollowingTerm<Real> wall;
        std::uint32_t node;
        double plain_w_per_k4;
        FactorIndex factor;
        Real exchange_w_per_k4;  ///< times the member's factor
    };

    [[nodiscard]] static Real per_wall_w_per_k(const Term& term, const std::vector<Real>& temperature_k) {
        const Real wall_k = term.wall.at(temperature_k);
        return term.exchange_w_per_k4 * term.wall.slope(temperature_k) * (wall_k * wall_k * wall_k * 4.0);
    }
    std::vector<Term> terms_;
};

}  // namespace bakewright::thermal
