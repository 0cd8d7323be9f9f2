#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <span>
#include <vector>

#include "bakewright/thermal/flow_map.hpp"
#include "bakewright/thermal/network.hpp"
#include "bakewright/thermal/steppers/lanes.hpp"

namespace bakewright::thermal {

/// Where a network's quantities stand in the arrays of its rates. Slots hold temperatures: nodes, boundaries, heaters' integral
/// states. Rows are those of the solver's state: nodes, accounts, heaters' integral states.
struct RateLayout {
    explicit RateLayout(const Network& network, bool keeps_accounts)
        : node_count(network.node_count()),
          boundary_count(network.boundary_count()),
          account_count(keeps_accounts ? network.accounts().size() : 0),
          heater_count(network.heaters().size()) {}

    std::size_t node_count, boundary_count, account_count, heater_count;

    [[nodiscard]] std::size_t size() const noexcept { return node_count + account_count + heater_count; }
    [[nodiscard]] std::size_t slot_count() const noexcept { return node_count + boundary_count + heater_count; }
    [[nodiscard]] std::uint32_t slot(Place place) const noexcept {
        return place.kind == Place::Kind::node ? place.index : static_cast<std::uint32_t>(node_count) + place.index;
    }
    [[nodiscard]] std::uint32_t integral_slot(std::size_t heater) const noexcept {
        return static_cast<std::uint32_t>(node_count + boundary_count + heater);
    }
    /// FlowEdge::kNone for a boundary, and for an account that is not kept.
    [[nodiscard]] std::uint32_t row(Place place) const noexcept {
        return place.kind == Place::Kind::node ? place.index : FlowEdge::kNone;
    }
    [[nodiscard]] std::uint32_t row(AccountIndex account) const noexcept {
        const bool is_kept = account != kNoAccount && account_count > 0;
        return is_kept ? static_cast<std::uint32_t>(node_count + account) : FlowEdge::kNone;
    }
    [[nodiscard]] std::uint32_t integral_row(std::size_t heater) const noexcept {
        return static_cast<std::uint32_t>(node_count + account_count + heater);
    }
    /// Heat that flows from one place to another and depends on the temperatures of both.
    [[nodiscard]] FlowEdge edge(Place from, Place to, AccountIndex account) const noexcept {
        return {row(from), row(to), row(account), row(from), row(to)};
    }
};

/// What a system keeps of its network's nodes.
class NodeList {
public:
    explicit NodeList(const Network& network);
    // Defined in the source file, so that a file compiled for another instruction set holds no copy of them.
    NodeList(const NodeList&);
    NodeList(NodeList&&) noexcept;
    NodeList& operator=(const NodeList&);
    NodeList& operator=(NodeList&&) noexcept;
    ~NodeList();
    [[nodiscard]] const Network::Node& operator[](std::size_t index) const noexcept { return nodes_[index]; }

private:
    std::vector<Network::Node> nodes_;
};

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

/// Factors by mode as the member has them.
template <class Real>
struct ModeTerm {
    ModeTerm(const ModeFactors& plain_factors, const ModeFactorIndices& indices)
        : plain(plain_factors),
          index(indices),
          factor{Real{} + plain[0], Real{} + plain[1], Real{} + plain[2], Real{} + plain[3]} {}

    ModeFactors plain;
    ModeFactorIndices index;
    std::array<Real, kModeCount> factor;

    void set_member(const Member<Real>& member) {
        for (std::size_t mode = 0; mode < kModeCount; ++mode) factor[mode] = member.of(index[mode]) * plain[mode];
    }
};

/// Following, flat: gain and offset as the member has them.
template <class Real>
struct FollowingTerm {
    FollowingTerm(const Following& following, const RateLayout& layout)
        : slot(layout.slot(following.place)),
          plain(following),
          gain(Real{} + following.gain),
          offset_k(Real{} + following.offset_k),
          above_k(Real{} + following.above_k) {}

    std::uint32_t slot;
    Following plain;
    Real gain, offset_k, above_k;

    void set_member(const Member<Real>& member) {
        const Real factor = member.of(plain.factor);
        gain = factor * (plain.gain - 1.0) + 1.0;
        offset_k = factor * plain.offset_k;
        if (!follows_above_a_level()) return;
        // However far a member's distance goes, nothing is colder than where the rise begins.
        const auto turned = gain < Real{};
        gain = select(turned, Real{}, gain);
        offset_k = select(turned, Real{} + plain.above_k, offset_k);
    }
    /// Whether the segment has heat.
    void set_heated(bool is_heated) {
        if (follows_above_a_level()) above_k = Real{} + (is_heated ? plain.above_k : std::numeric_limits<double>::infinity());
    }
    [[nodiscard]] bool follows_above_a_level() const noexcept { return plain.above_k > Following::kFollowsAlways; }
    [[gnu::always_inline]] Real at(const std::vector<Real>& temperature_k) const { return of(temperature_k[slot]); }
    [[gnu::always_inline]] Real of(const Real& place_k) const {
        return select(place_k >= above_k, Real(place_k * gain + offset_k), place_k);
    }
    /// Its slope by the place's temperature.
    [[gnu::always_inline]] Real slope(const std::vector<Real>& temperature_k) const {
        return select(temperature_k[slot] >= above_k, gain, Real(Real{} + 1.0));
    }
};

}  // namespace bakewright::thermal
