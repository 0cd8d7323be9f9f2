#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "bakewright/thermal/flow_jacobian.hpp"
#include "bakewright/thermal/network.hpp"

namespace bakewright::thermal {

/// Where a network's quantities stand in the arrays of its rates. Slots: nodes, boundaries, accounts, heaters' integral states,
/// and one that takes what nobody books. The state of the solver is the same without boundaries and without that last slot.
struct RateLayout {
    explicit RateLayout(const Network& network, bool keeps_accounts)
        : node_count(network.node_count()),
          boundary_count(network.boundary_count()),
          account_count(keeps_accounts ? network.accounts().size() : 0),
          heater_count(network.heaters().size()) {}

    std::size_t node_count, boundary_count, account_count, heater_count;

    [[nodiscard]] std::size_t size() const noexcept { return node_count + account_count + heater_count; }
    [[nodiscard]] std::size_t slot_count() const noexcept { return size() + boundary_count + 1; }
    [[nodiscard]] std::uint32_t slot(Place place) const noexcept {
        return place.kind == Place::Kind::node ? place.index : static_cast<std::uint32_t>(node_count) + place.index;
    }
    [[nodiscard]] std::uint32_t account(AccountIndex index) const noexcept {
        const bool is_kept = index != kNoAccount && account_count > 0;
        return static_cast<std::uint32_t>(is_kept ? node_count + boundary_count + index : slot_count() - 1);
    }
    [[nodiscard]] std::uint32_t integral(std::size_t heater) const noexcept {
        return static_cast<std::uint32_t>(node_count + boundary_count + account_count + heater);
    }
    /// Row of a slot in the state; FlowJacobian's kNone where it is not solved for.
    template <class Real>
    [[nodiscard]] std::uint32_t row(std::uint32_t slot) const noexcept {
        if (slot < node_count) return slot;
        const bool is_solved_for = slot >= node_count + boundary_count && slot + 1 < slot_count();
        return is_solved_for ? slot - static_cast<std::uint32_t>(boundary_count) : FlowJacobian<Real>::kNone;
    }
};

/// Heat [W] that flows from one slot to another and is booked on a third.
template <class Real>
[[gnu::always_inline]] inline void book_flow(std::vector<Real>& flow_w, std::uint32_t from, std::uint32_t to,
                                             std::uint32_t account, const Real& heat_w) {
    flow_w[from] -= heat_w;
    flow_w[to] += heat_w;
    flow_w[account] += heat_w;
}

/// What sets one member of an ensemble apart from the network (for packs: one a lane).
/// Shapes: factor one a factor of the network; boundary_* one a boundary.
template <class Real>
struct Member {
    explicit Member(const Network& network)
        : factor(network.factors().size(), Real{} + 1.0),
          boundary_gain(network.boundary_count(), Real{} + 1.0),
          boundary_offset_k(network.boundary_count(), Real{}) {}

    std::vector<Real> factor;             ///< > 0
    std::vector<Real> boundary_gain;      ///< > 0: a boundary is at gain T + offset
    std::vector<Real> boundary_offset_k;  ///< [K]
    Real start_shift_k{};                 ///< on every node's start [K]

    [[nodiscard]] Real of(FactorIndex index) const { return index == kNoFactor ? Real{} + 1.0 : factor[index]; }
};

/// Following, flat: gain and offset as the member has them.
template <class Real>
struct FollowingTerm {
    FollowingTerm(const Following& following, const RateLayout& layout)
        : slot(layout.slot(following.place)),
          plain(following),
          gain(Real{} + following.gain),
          offset_k(Real{} + following.offset_k) {}

    std::uint32_t slot;
    Following plain;
    Real gain, offset_k;

    void set_member(const Member<Real>& member) {
        const Real factor = member.of(plain.factor);
        gain = factor * (plain.gain - 1.0) + 1.0;
        offset_k = factor * plain.offset_k;
    }
    [[gnu::always_inline]] Real at(const std::vector<Real>& temperature_k) const { return temperature_k[slot] * gain + offset_k; }
};

}  // namespace bakewright::thermal
