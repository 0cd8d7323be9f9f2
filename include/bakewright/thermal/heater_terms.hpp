#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <utility>
#include <vector>

#include "bakewright/base/error.hpp"
#include "bakewright/thermal/rate_layout.hpp"
#include "bakewright/thermal/steppers/lanes.hpp"

namespace bakewright::thermal {

/// The heaters of a network (see Heater). Whether an on-off heater burns and whether a high limit has tripped stands still
/// between two calls of set_burning() and set_tripped(): whoever steps the network switches them.
template <class Real>
class HeaterTerms {
public:
    HeaterTerms(const Network& network, const RateLayout& layout) {
        for (std::size_t h = 0; h < network.heaters().size(); ++h) {
            const Heater& heater = network.heaters()[h];
            terms_.push_back({heater, layout.slot(heater.node), layout.slot(heater.sensor), layout.slot(heater.setpoint),
                              layout.integral(h), layout.account(heater.account), Real{} + heater.largest_power_w});
        }
    }

    void set_member(const Member<Real>& member) {
        for (Term& term : terms_) term.largest_power_w = member.of(term.heater.factor) * term.heater.largest_power_w;
    }
    void set_burning(std::size_t heater, bool is_burning) { terms_[heater].is_burning = is_burning; }
    void set_tripped(std::size_t heater, bool has_tripped) { terms_[heater].has_tripped = has_tripped; }
    [[nodiscard]] bool is_burning(std::size_t heater) const { return terms_[heater].is_burning; }
    [[nodiscard]] bool has_tripped(std::size_t heater) const { return terms_[heater].has_tripped; }

    /// Cells of the Jacobian, in the order of add_to_jacobian().
    void append_cells(const RateLayout& layout, std::vector<std::pair<std::uint32_t, std::uint32_t>>& cells) const {
        const auto row = [&](std::uint32_t slot) { return layout.template row<Real>(slot); };
        for (const Term& term : terms_) {
            for (const std::uint32_t from : {term.sensor, term.integral})
                for (const std::uint32_t to : {term.node, term.account, term.integral}) cells.emplace_back(row(to), row(from));
        }
    }

    /// Power [W] of a heater.
    [[nodiscard]] Real power_w(std::size_t heater, std::size_t mode, const std::vector<Real>& temperature_k) const {
        return power(terms_[heater], mode, temperature_k).first;
    }

    void add_flows(std::size_t mode, const std::vector<Real>& temperature_k, std::vector<Real>& flow_w) const {
        for (const Term& term : terms_) {
            const auto [power_w, is_free] = power(term, mode, temperature_k);
            flow_w[term.node] += power_w;
            flow_w[term.account] += power_w;
            flow_w[term.integral] += integral_rate(term, temperature_k, power_w, is_free);
        }
    }

    void add_to_jacobian(std::size_t mode, const std::vector<Real>& temperature_k, const FlowJacobian<Real>& jacobian,
                         std::vector<Real>& sums) const {
        std::size_t number = 0;
        for (const Term& term : terms_) {
            const Real is_free = power(term, mode, temperature_k).second;
            const double gain = term.heater.gain_w_per_k;
            const double per_s = per_integral_time(term);
            const std::array<Real, 6> values{is_free * -gain, is_free * -gain, is_free * -per_s,
                                             is_free * gain,  is_free * gain,  (is_free - 1.0) * per_s};
            for (const Real& value : values) jacobian.add_cell(number++, value, sums);
        }
    }

    template <class SlopeOf>
    void add_flow_slopes(std::size_t mode, const std::vector<Real>& temperature_k, SlopeOf&& slope_k_per_s,
                         std::vector<Real>& flow_w) const {
        for (const Term& term : terms_) {
            const Real rising = power(term, mode, temperature_k).second * slope_k_per_s(term.setpoint);
            flow_w[term.node] += rising * term.heater.gain_w_per_k;
            flow_w[term.account] += rising * term.heater.gain_w_per_k;
            flow_w[term.integral] += rising * per_integral_time(term);
        }
    }

private:
    struct Term {
        Heater heater;
        std::uint32_t node, sensor, setpoint, integral, account;
        Real largest_power_w;
        bool is_burning = false;
        bool has_tripped = false;
    };

    [[nodiscard]] static bool is_proportional(const Term& term) noexcept {
        return term.heater.control == Heater::Control::proportional_integral;
    }
    [[nodiscard]] static double per_integral_time(const Term& term) noexcept {
        return is_proportional(term) ? 1.0 / term.heater.integral_time_s : 0.0;
    }

    /// Power, and 1 where the controller is free to move it, 0 where it is held.
    [[nodiscard]] static std::pair<Real, Real> power(const Term& term, std::size_t mode, const std::vector<Real>& temperature_k) {
        if (!term.heater.may_fire[mode] || term.has_tripped) return {Real{}, Real{}};
        if (!is_proportional(term)) return {term.is_burning ? term.largest_power_w : Real{}, Real{}};
        const Real demand_w =
            (temperature_k[term.setpoint] - temperature_k[term.sensor] + temperature_k[term.integral]) * term.heater.gain_w_per_k;
        const Real power_w = min(term.largest_power_w, Real(max(Real{}, demand_w)));
        return {power_w, select(power_w == demand_w, Real{} + 1.0, Real{})};
    }
    [[nodiscard]] static Real integral_rate(const Term& term, const std::vector<Real>& temperature_k, const Real& power_w,
                                            const Real& is_free) {
        if (!is_proportional(term)) return Real{};
        const Real error_k = temperature_k[term.setpoint] - temperature_k[term.sensor];
        const Real held_k = power_w * (1.0 / term.heater.gain_w_per_k) - temperature_k[term.integral];
        return (is_free * error_k + (Real{} + 1.0 - is_free) * held_k) * per_integral_time(term);
    }

    std::vector<Term> terms_;
};

}  // namespace bakewright::thermal
