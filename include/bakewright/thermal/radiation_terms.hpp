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
    using Edge = typename FlowJacobian<Real>::Edge;

    RadiationTerms(const Network& network, const RateLayout& layout) {
        for (const Radiation& edge : network.radiations())
            terms_.push_back({FollowingTerm<Real>(edge.wall, layout), layout.slot(edge.node), layout.account(edge.account),
                              edge.exchange_area_m2 * kStefanBoltzmann, edge.factor,
                              Real{} + edge.exchange_area_m2 * kStefanBoltzmann});
    }

    void set_member(const Member<Real>& member) {
        for (Term& term : terms_) {
            term.wall.set_member(member);
            term.exchange_w_per_k4 = member.of(term.factor) * term.plain_w_per_k4;
        }
    }

    /// In the order of add_to_jacobian().
    void append_edges(const RateLayout& layout, std::vector<Edge>& edges) const {
        const auto row = [&](std::uint32_t slot) { return layout.template row<Real>(slot); };
        for (const Term& term : terms_) edges.push_back({row(term.wall.slot), row(term.node), row(term.account)});
    }

    void add_flows(const std::vector<Real>& temperature_k, std::vector<Real>& flow_w) const {
        for (const Term& term : terms_) {
            const Real wall_k = term.wall.at(temperature_k);
            const Real node_k = temperature_k[term.node];
            // (a^4 - b^4) as a product: exact zero for equal temperatures and no cancellation near them.
            const Real difference = (wall_k - node_k) * (wall_k + node_k) * (wall_k * wall_k + node_k * node_k);
            book_flow<Real>(flow_w, term.wall.slot, term.node, term.account, term.exchange_w_per_k4 * difference);
        }
    }

    /// Adds the edges from number on.
    void add_to_jacobian(std::size_t number, const std::vector<Real>& temperature_k, const FlowJacobian<Real>& jacobian,
                         std::vector<Real>& sums) const {
        for (const Term& term : terms_)
            jacobian.add(number++, per_wall_w_per_k(term, temperature_k), -per_node_w_per_k(term, temperature_k), sums);
    }

    /// What the moving of boundaries does to the flows [W/s]. @param slope_k_per_s  of a slot
    template <class SlopeOf>
    void add_flow_slopes(const std::vector<Real>& temperature_k, SlopeOf&& slope_k_per_s, std::vector<Real>& flow_w) const {
        for (const Term& term : terms_)
            book_flow<Real>(flow_w, term.wall.slot, term.node, term.account,
                            per_wall_w_per_k(term, temperature_k) * slope_k_per_s(term.wall.slot));
    }

private:
    struct Term {
        FollowingTerm<Real> wall;
        std::uint32_t node, account;
        double plain_w_per_k4;
        FactorIndex factor;
        Real exchange_w_per_k4;  ///< times the member's factor
    };

    [[nodiscard]] static Real per_wall_w_per_k(const Term& term, const std::vector<Real>& temperature_k) {
        const Real wall_k = term.wall.at(temperature_k);
        return term.exchange_w_per_k4 * term.wall.gain * (wall_k * wall_k * wall_k * 4.0);
    }
    [[nodiscard]] static Real per_node_w_per_k(const Term& term, const std::vector<Real>& temperature_k) {
        const Real node_k = temperature_k[term.node];
        return term.exchange_w_per_k4 * (node_k * node_k * node_k * 4.0);
    }

    std::vector<Term> terms_;
};

}  // namespace bakewright::thermal
