// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <cstdint>
#include <utility>
#include <vector>

#include "bakewright/base/error.hpp"
#include "bakewright/base/units.hpp"
#include "rate_layout.hpp"
#include "steppers/lanes.hpp"

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

/// How the power of a heater that modulates (proportional-integral, proportional) follows its demand.
enum class HeaterRegime {
    by_demand,  ///< held between its limits: right at any moment, but the rates have a kink where a limit is reached
    out,        ///< nothing
    free,       ///< what is demanded, also beyond the limits
    full        ///< the largest power
};

/// The heaters of a network (see Heater). Whether an on-off heater burns, whether a high limit has tripped and a regime stand
/// still until they are set again: whoever steps the network switches them, so that no step reaches over a kink.
template <class Real>
class HeaterTerms {
public:
    HeaterTerms(const Network& network, const RateLayout& layout) {
        for (std::size_t h = 0; h < network.heaters().size(); ++h) {
            const Heater& heater = network.heaters()[h];
            terms_.push_back({heater, layout.slot(heater.sensor), layout.slot(heater.setpoint), layout.integral_slot(h),
                              Real{} + heater.largest_power_w});
        }
    }

    void set_member(const Member<Real>& member) {
        for (Term& term : terms_) term.largest_power_w = member.of(term.heater.factor) * term.heater.largest_power_w;
    }
    /// As at the beginning of a bake: not lit, not tripped, regimes by demand.
    void reset() {
        for (Term& term : terms_) {
            term.is_burning = term.has_tripped = term.is_averaged = false;
            term.regime = HeaterRegime::by_demand;
        }
    }
    void set_burning(std::size_t heater, bool is_burning) { terms_[heater].is_burning = is_burning; }
    void set_tripped(std::size_t heater, bool has_tripped) { terms_[heater].has_tripped = has_tripped; }
    void set_regime(std::size_t heater, HeaterRegime regime) { terms_[heater].regime = regime; }
    /// An on-off heater counts by its mean from now on: power in proportion over its band.
    void set_averaged(std::size_t heater) { terms_[heater].is_averaged = true; }
    [[nodiscard]] bool is_averaged(std::size_t heater) const { return terms_[heater].is_averaged; }
    [[nodiscard]] bool modulates(std::size_t heater) const { return modulates(terms_[heater]); }
    /// Of a heater that modulates: power for one kelvin of error, of the member at hand.
    [[nodiscard]] Real gain_w_per_k(std::size_t heater) const { return gain_of(terms_[heater]); }
    [[nodiscard]] HeaterRegime regime(std::size_t heater) const { return terms_[heater].regime; }
    [[nodiscard]] bool is_burning(std::size_t heater) const { return terms_[heater].is_burning; }
    [[nodiscard]] bool has_tripped(std::size_t heater) const { return terms_[heater].has_tripped; }

    /// Two edges a heater: its power, and what moves its integral state [K/s]; both depend on sensor and integral state.
    [[nodiscard]] std::size_t edge_count() const noexcept { return 2 * terms_.size(); }
    static void append_edges(const Network& network, const RateLayout& layout, std::vector<FlowEdge>& edges) {
        for (std::size_t h = 0; h < network.heaters().size(); ++h) {
            const Heater& heater = network.heaters()[h];
            const std::uint32_t sensor = layout.row(heater.sensor), integral = layout.integral_row(h);
            edges.push_back({FlowEdge::kNone, layout.row(heater.node), layout.row(heater.account), sensor, integral});
            edges.push_back({FlowEdge::kNone, integral, FlowEdge::kNone, sensor, integral});
        }
    }

    /// Of the member at hand.
    [[nodiscard]] const Real& largest_power_w(std::size_t heater) const { return terms_[heater].largest_power_w; }
    /// What the controller of a heater that modulates asks for [W], beyond the limits as well.
    [[nodiscard]] Real demand_w(std::size_t heater, const std::vector<Real>& temperature_k) const {
        return demand(terms_[heater], temperature_k);
    }

    void write_flows(std::size_t mode, const std::vector<Real>& temperature_k, Real* flow_w) const {
        for (const Term& term : terms_) {
            const auto [power_w, is_free] = power(term, mode, temperature_k);
            *flow_w++ = power_w;
            *flow_w++ = integral_rate(term, temperature_k, power_w, is_free);
        }
    }

    void write_slopes(std::size_t mode, const std::vector<Real>& temperature_k, Real* slope_w_per_k) const {
        for (const Term& term : terms_) {
            const Real is_free = power(term, mode, temperature_k).second;
            const Real gain_w_per_k = is_free * gain_of(term);
            *slope_w_per_k++ = -gain_w_per_k;
            *slope_w_per_k++ = gain_w_per_k;
            *slope_w_per_k++ = is_free * -per_integral_time(term);
            *slope_w_per_k++ = (is_free - 1.0) * per_integral_time(term);
        }
    }

    /// What the moving of the set point does to them. @param slope_k_per_s  of a slot
    template <class SlopeOf>
    void write_boundary_rates(std::size_t mode, const std::vector<Real>& temperature_k, SlopeOf&& slope_k_per_s,
                              Real* rate_w_per_s) const {
        for (const Term& term : terms_) {
            const Real rising = power(term, mode, temperature_k).second * slope_k_per_s(term.setpoint);
            *rate_w_per_s++ = rising * gain_of(term) * (bias_slope(term, temperature_k[term.setpoint]) + 1.0);
            *rate_w_per_s++ = rising * per_integral_time(term);
        }
    }

private:
    struct Term {
        Heater heater;
        std::uint32_t sensor, setpoint, integral;
        Real largest_power_w;
        bool is_burning = false;
        bool has_tripped = false;
        bool is_averaged = false;
        HeaterRegime regime = HeaterRegime::by_demand;
    };

    [[nodiscard]] static bool modulates(const Term& term) noexcept { return term.heater.modulates() || term.is_averaged; }
    [[nodiscard]] static Real gain_of(const Term& term) {
        return term.is_averaged ? Real(term.largest_power_w * (1.0 / term.heater.band_k)) : Real{} + term.heater.gain_w_per_k;
    }
    /// The bias at a set point: so much, or as far as the set point lies above where biases begin.
    [[nodiscard]] static Real bias_k(const Term& term, const Real& setpoint_k) {
        return min(Real(max(Real{}, Real(setpoint_k - term.heater.bias_from_k))), Real(Real{} + most_bias_k(term)));
    }
    [[nodiscard]] static Real bias_slope(const Term& term, const Real& setpoint_k) {
        const Real above_k = setpoint_k - term.heater.bias_from_k;
        return select(above_k > Real{}, select(above_k < Real(Real{} + most_bias_k(term)), Real{} + 1.0, Real{}), Real{});
    }
    [[nodiscard]] static double most_bias_k(const Term& term) noexcept {
        return term.is_averaged ? 0.5 * term.heater.band_k : term.heater.bias_k;
    }
    [[nodiscard]] static bool integrates(const Term& term) noexcept {
        return term.heater.control == Heater::Control::proportional_integral;
    }
    [[nodiscard]] static double per_integral_time(const Term& term) noexcept {
        return integrates(term) ? 1.0 / term.heater.integral_time_s : 0.0;
    }

    [[nodiscard]] static Real demand(const Term& term, const std::vector<Real>& temperature_k) {
        const Real error_k = temperature_k[term.setpoint] - temperature_k[term.sensor];
        return (error_k + temperature_k[term.integral] + bias_k(term, temperature_k[term.setpoint])) * gain_of(term);
    }
    /// Power, and 1 where the controller is free to move it, 0 where it is held.
    [[nodiscard]] static std::pair<Real, Real> power(const Term& term, std::size_t mode, const std::vector<Real>& temperature_k) {
        if (!term.heater.may_fire[mode] || term.has_tripped) return {Real{}, Real{}};
        if (!modulates(term)) return {term.is_burning ? term.largest_power_w : Real{}, Real{}};
        const Real demand_w = demand(term, temperature_k);
        switch (term.regime) {
            case HeaterRegime::out:
                return {Real{}, Real{}};
            case HeaterRegime::free:
                return {demand_w, Real{} + 1.0};
            case HeaterRegime::full:
                return {term.largest_power_w, Real{}};
            case HeaterRegime::by_demand:
                break;
        }
        const Real power_w = min(term.largest_power_w, Real(max(Real{}, demand_w)));
        return {power_w, select(power_w == demand_w, Real{} + 1.0, Real{})};
    }
    [[nodiscard]] static Real integral_rate(const Term& term, const std::vector<Real>& temperature_k, const Real& power_w,
                                            const Real& is_free) {
        if (!integrates(term)) return Real{};
        const Real error_k = temperature_k[term.setpoint] - temperature_k[term.sensor];
        const Real held_k = power_w * (1.0 / term.heater.gain_w_per_k) - temperature_k[term.integral];
        return (is_free * error_k + (Real{} + 1.0 - is_free) * held_k) * per_integral_time(term);
    }

    std::vector<Term> terms_;
};

}  // namespace bakewright::thermal
