// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <span>
#include <utility>
#include <vector>

#include "bakewright/thermal/network.hpp"
#include "steppers/lanes.hpp"
#include "steppers/sparsity_pattern.hpp"

namespace bakewright::thermal {

/// Where a flow of heat goes and what it depends on, as rows of the state; kNone where there is none.
struct FlowEdge {
    static constexpr std::uint32_t kNone = 0xffffffffU;
    std::uint32_t from = kNone;     ///< loses it
    std::uint32_t to = kNone;       ///< gains it
    std::uint32_t account = kNone;  ///< books it
    std::uint32_t first = kNone;    ///< its two arguments: columns of the Jacobian
    std::uint32_t second = kNone;
};

/// Adds up the flows of a network's edges by row, and their slopes by entry of the Jacobian.
///
/// Whoever knows the edges writes one flow an edge, or two slopes an edge (by its first and by its second argument), into a list;
/// the sums are then gathered row by row. Adding to the rows edge by edge would make every edge wait for the one before, since
/// all share the booth's air.
class FlowMap {
public:
    FlowMap();
    /// @throws PromiseError where a row is neither below size nor kNone
    FlowMap(std::size_t size, std::span<const FlowEdge> edges);
    // Defined in the source file, so that a file compiled for another instruction set holds no copy of them.
    FlowMap(const FlowMap&);
    FlowMap(FlowMap&&) noexcept;
    FlowMap& operator=(const FlowMap&);
    FlowMap& operator=(FlowMap&&) noexcept;
    ~FlowMap();

    [[nodiscard]] const SparsityPattern& pattern() const noexcept { return pattern_; }
    [[nodiscard]] std::size_t edge_count() const noexcept { return edge_count_; }

    /// out = what flows in less what flows out, each row times its factor. Shapes: flows edge_count(), the others size values.
    template <class Real>
    void add_up_rows(std::span<const Real> flows, std::span<const Real> factors, std::span<Real> out) const {
        for (std::size_t row = 0; row < out.size(); ++row) out[row] = sum_of(rows_, row, flows) * factors[row];
    }
    /// The Jacobian's entries. Shapes: slopes twice edge_count(), factors one a row, values pattern().entry_count() values.
    template <class Real>
    void add_up_entries(std::span<const Real> slopes, std::span<const Real> factors, std::span<Real> values) const {
        for (std::size_t row = 0; row < pattern_.size(); ++row)
            for (std::uint32_t e = pattern_.row_begin()[row]; e < pattern_.row_begin()[row + 1]; ++e)
                values[e] = sum_of(entries_, e, slopes) * factors[row];
    }

private:
    /// For each sum, the places it adds, and behind them those it takes away.
    struct Sums {
        std::vector<std::uint32_t> begin, minus_begin, place;
    };
    struct Term {
        std::uint32_t sum, place;
        bool is_minus;
    };
    static Sums sums_of(std::size_t count, const std::vector<Term>& terms);

    template <class Real>
    [[gnu::always_inline]] static Real sum_of(const Sums& sums, std::size_t index, std::span<const Real> of) {
        Real plus{}, minus{};
        const std::uint32_t* place = sums.place.data();
        const std::uint32_t minus_begin = sums.minus_begin[index];
        const std::uint32_t end = sums.begin[index + 1];
        std::uint32_t p = sums.begin[index];
        for (; p < minus_begin; ++p) plus += of[place[p]];
        for (; p < end; ++p) minus += of[place[p]];
        return plus - minus;
    }

    std::size_t edge_count_ = 0;
    SparsityPattern pattern_;
    Sums rows_, entries_;
};

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

/// Factors by mode as the member has them.
template <class Real>
struct ModeTerm {
    ModeTerm(const ModeFactors& plain_factors, const ModeFactorIndices& indices) : plain(plain_factors), index(indices) {
        for (std::size_t mode = 0; mode < kModeCount; ++mode) factor[mode] = Real{} + plain[mode];
    }

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
        if (plain.drawn != kNoFactor) {
            const Real more = (member.of(plain.drawn) - 1.0) * plain.drawn_gain;
            gain += more;
            offset_k -= more * plain.above_k;
        }
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
