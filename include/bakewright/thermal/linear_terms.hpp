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
    using Edge = typename FlowJacobian<Real>::Edge;

    LinearTerms(const Network& network, const RateLayout& layout) {
        for (const Conduction& edge : network.conductions())
            conductions_.push_back({layout.slot(edge.from), layout.slot(edge.to), layout.account(edge.account),
                                    edge.conductance_w_per_k, edge.factor, Real{} + edge.conductance_w_per_k});
        for (const Film& edge : network.films())
            films_.push_back({FollowingTerm<Real>(edge.air, layout), layout.slot(edge.node), layout.account(edge.account),
                              edge.conductance_w_per_k, edge.factor, edge.mode_factor, Real{} + edge.conductance_w_per_k});
    }

    [[nodiscard]] std::size_t edge_count() const noexcept { return conductions_.size() + films_.size(); }

    void set_member(const Member<Real>& member) {
        for (ConductionTerm& edge : conductions_) edge.conductance_w_per_k = member.of(edge.factor) * edge.plain_w_per_k;
        for (FilmTerm& edge : films_) {
            edge.air.set_member(member);
            edge.conductance_w_per_k = member.of(edge.factor) * edge.plain_w_per_k;
        }
    }

    /// In the order of add_to_jacobian().
    void append_edges(const RateLayout& layout, std::vector<Edge>& edges) const {
        const auto row = [&](std::uint32_t slot) { return layout.template row<Real>(slot); };
        for (const ConductionTerm& edge : conductions_) edges.push_back({row(edge.from), row(edge.to), row(edge.account)});
        for (const FilmTerm& edge : films_) edges.push_back({row(edge.air.slot), row(edge.node), row(edge.account)});
    }

    void add_flows(std::size_t mode, const std::vector<Real>& temperature_k, std::vector<Real>& flow_w) const {
        for (const ConductionTerm& edge : conductions_)
            book_flow<Real>(flow_w, edge.from, edge.to, edge.account,
                            edge.conductance_w_per_k * (temperature_k[edge.from] - temperature_k[edge.to]));
        for (const FilmTerm& edge : films_)
            book_flow<Real>(
                flow_w, edge.air.slot, edge.node, edge.account,
                edge.conductance_w_per_k * edge.mode_factor[mode] * (edge.air.at(temperature_k) - temperature_k[edge.node]));
    }

    /// These edges are the first of the list. They do not change as long as the mode does not.
    void add_to_jacobian(std::size_t mode, const FlowJacobian<Real>& jacobian, std::vector<Real>& sums) const {
        std::size_t number = 0;
        for (const ConductionTerm& edge : conductions_)
            jacobian.add(number++, edge.conductance_w_per_k, -edge.conductance_w_per_k, sums);
        for (const FilmTerm& edge : films_) {
            const Real conductance_w_per_k = edge.conductance_w_per_k * edge.mode_factor[mode];
            jacobian.add(number++, conductance_w_per_k * edge.air.gain, -conductance_w_per_k, sums);
        }
    }

    /// What the moving of boundaries does to the flows [W/s]. @param slope_k_per_s  of a slot
    template <class SlopeOf>
    void add_flow_slopes(std::size_t mode, SlopeOf&& slope_k_per_s, std::vector<Real>& flow_w) const {
        for (const ConductionTerm& edge : conductions_)
            book_flow<Real>(flow_w, edge.from, edge.to, edge.account,
                            edge.conductance_w_per_k * (slope_k_per_s(edge.from) - slope_k_per_s(edge.to)));
        for (const FilmTerm& edge : films_)
            book_flow<Real>(flow_w, edge.air.slot, edge.node, edge.account,
                            edge.conductance_w_per_k * edge.mode_factor[mode] * edge.air.gain * slope_k_per_s(edge.air.slot));
    }

private:
    struct ConductionTerm {
        std::uint32_t from, to, account;
        double plain_w_per_k;
        FactorIndex factor;
        Real conductance_w_per_k;  ///< times the member's factor
    };
    struct FilmTerm {
        FollowingTerm<Real> air;
        std::uint32_t node, account;
        double plain_w_per_k;
        FactorIndex factor;
        ModeFactors mode_factor;
        Real conductance_w_per_k;  ///< times the member's factor
    };

    std::vector<ConductionTerm> conductions_;
    std::vector<FilmTerm> films_;
};

}  // namespace bakewright::thermal
