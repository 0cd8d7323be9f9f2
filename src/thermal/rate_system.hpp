// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "bakewright/base/units.hpp"
#include "bakewright/thermal/network.hpp"
#include "convection_terms.hpp"
#include "rate_layout.hpp"
#include "rate_terms.hpp"

namespace bakewright::thermal {

/// Whether a network's heat accounts are integrated; without them a solve is shorter.
enum class Accounts { keep, leave_out };

/// A network laid out flat for the solver: its rates of change as a system of ordinary differential equations, with their exact
/// derivatives (a DifferentiableSystem). One object serves one thread: it keeps scratch values.
///
/// State y: the node temperatures [K] in node order, then one value an account: its heat divided by the network's total heat
/// capacity [K], so that one tolerance suits all, then the integral state [K] of each heater. Real is double, or a pack whose
/// lanes are different members of an ensemble (set_member()).
/// Never throws in rates(): runs in the solver's inner loop on checked data.
template <class Real>
class RateSystem {
public:
    explicit RateSystem(const Network& network, Accounts accounts = Accounts::keep)
        : layout_(network, accounts == Accounts::keep),
          total_capacity_j_per_k_(network.total_heat_capacity_j_per_k()),
          linear_(network, layout_),
          convection_(network, layout_),
          radiation_(network, layout_),
          heaters_(network, layout_),
          nodes_(network) {
        for (const Network::Node& node : network.nodes()) {
            row_factor_.push_back(Real{} + 1.0 / node.heat_capacity_j_per_k);
            start_k_.push_back(Real{} + node.start_k);
        }
        boundary_k_.assign(layout_.boundary_count, 0.0);
        boundary_slope_k_per_s_.assign(layout_.boundary_count, 0.0);
        boundary_gain_.assign(layout_.boundary_count, Real{} + 1.0);
        boundary_offset_k_.assign(layout_.boundary_count, Real{});
        source_count_ = network.sources().size();
        temperature_k_.assign(layout_.slot_count(), Real{});
        row_factor_.resize(layout_.node_count + layout_.account_count, Real{} + 1.0 / total_capacity_j_per_k_);
        row_factor_.resize(size(), Real{} + 1.0);
        map_edges(network);
        linear_.write_slopes(mode_, slope_w_per_k_.data());
    }

    [[nodiscard]] std::size_t size() const noexcept { return layout_.size(); }
    [[nodiscard]] std::size_t node_count() const noexcept { return layout_.node_count; }
    [[nodiscard]] std::size_t account_count() const noexcept { return layout_.account_count; }
    [[nodiscard]] std::string name(std::size_t index) const {
        if (index < layout_.node_count) return nodes_[index].name;
        return index < layout_.node_count + layout_.account_count ? "heat account" : "controller";
    }
    /// Heat [J] on an account, from a state.
    [[nodiscard]] Real account_heat_j(std::span<const Real> y, std::size_t index) const {
        return y[layout_.node_count + index] * total_capacity_j_per_k_;
    }

    /// The state at time 0: start temperatures, empty accounts and integrals.
    void start(std::span<Real> y) const {
        std::copy(start_k_.begin(), start_k_.end(), y.begin());
        std::fill(y.begin() + static_cast<std::ptrdiff_t>(layout_.node_count), y.end(), Real{});
    }

    /// Takes on the numbers of a member (of a member a lane). start() and rates() follow them from now on; an account's scale
    /// stays that of the network.
    void set_member(const Member<Real>& member) {
        for (std::size_t i = 0; i < layout_.node_count; ++i) {
            row_factor_[i] = Real(Real{} + 1.0) / (member.of(nodes_[i].factor) * nodes_[i].heat_capacity_j_per_k);
            start_k_[i] = member.start_shift_k + nodes_[i].start_k;
        }
        boundary_gain_ = member.boundary_gain;
        boundary_offset_k_ = member.boundary_offset_k;
        linear_.set_member(member);
        convection_.set_member(member);
        radiation_.set_member(member);
        heaters_.set_member(member);
        linear_.write_slopes(mode_, slope_w_per_k_.data());
    }

    /// Sets what is given from outside from now on.
    void set_segment(const Segment& segment) {
        const double span_s = segment.end_s - segment.begin_s;
        segment_begin_s_ = segment.begin_s;
        for (std::size_t b = 0; b < layout_.boundary_count; ++b) {
            boundary_k_[b] = segment.boundary_begin_k[b];
            boundary_slope_k_per_s_[b] = (segment.boundary_end_k[b] - segment.boundary_begin_k[b]) / span_s;
        }
        std::copy(segment.source_w.begin(), segment.source_w.end(), flow_w_.begin() + source_begin());
        set_heated(segment.is_heated);
        if (mode_ == segment.mode) return;
        mode_ = segment.mode;
        linear_.write_slopes(mode_, slope_w_per_k_.data());
    }
    [[nodiscard]] HeaterTerms<Real>& heaters() noexcept { return heaters_; }
    [[nodiscard]] const HeaterTerms<Real>& heaters() const noexcept { return heaters_; }

    /// What the controller of a heater that modulates asks for [W] at a state, beyond its limits as well.
    [[nodiscard]] Real heater_demand_w(std::size_t heater, double time_s, std::span<const Real> y) const {
        gather(time_s, y);
        return heaters_.demand_w(heater, temperature_k_);
    }
    /// Temperature [K] of a place at a state.
    [[nodiscard]] Real place_k(Place place, double time_s, std::span<const Real> y) const {
        return place.kind == Place::Kind::node ? y[place.index] : boundary_at(place.index, time_s);
    }

    /// dy/dt [K/s]. Shapes: both spans hold size() values.
    void rates(double time_s, std::span<const Real> y, std::span<Real> dydt) const {
        gather(time_s, y);
        Real* flow_w = flow_w_.data();
        linear_.write_flows(mode_, temperature_k_, flow_w);
        convection_.write_flows(mode_, temperature_k_, flow_w += linear_.edge_count());
        radiation_.write_flows(temperature_k_, flow_w += convection_.edge_count());
        heaters_.write_flows(mode_, temperature_k_, flow_w += radiation_.edge_count());
        map_.template add_up_rows<Real>(flow_w_, row_factor_, dydt);
    }

    /// Where jacobian() may be non-zero. The rows of accounts hold the nodes whose edges are booked on them.
    [[nodiscard]] const SparsityPattern& pattern() const noexcept { return map_.pattern(); }

    /// d(dy/dt)/dy [1/s], in the order of pattern(). Shape: values hold pattern().entry_count() values.
    void jacobian(double time_s, std::span<const Real> y, std::span<Real> values) const {
        write_flows_and_slopes(time_s, y);
        map_.template add_up_entries<Real>(slope_w_per_k_, row_factor_, values);
    }

    /// Partial derivative of dy/dt by time with y held [K/s2]: what the moving boundaries do. Shapes: spans hold size() values.
    void time_derivative(double time_s, std::span<const Real> y, std::span<Real> dfdt) const {
        write_flows_and_slopes(time_s, y);
        add_up_time_derivative(dfdt);
    }

    /// rates(), jacobian() and time_derivative() at once, for the price of one.
    void linearise(double time_s, std::span<const Real> y, std::span<Real> dydt, std::span<Real> values,
                   std::span<Real> dfdt) const {
        write_flows_and_slopes(time_s, y);
        map_.template add_up_rows<Real>(flow_w_, row_factor_, dydt);
        map_.template add_up_entries<Real>(slope_w_per_k_, row_factor_, values);
        add_up_time_derivative(dfdt);
    }

private:
    /// One of an edge's two places is given: when it moves, the flow does.
    struct GivenSide {
        std::size_t slope, edge, boundary;  ///< places in slope_w_per_k_, in boundary_rate_w_per_s_, in boundary_slope_k_per_s_
    };

    void set_heated(bool is_heated) {
        if (is_heated == is_heated_) return;
        is_heated_ = is_heated;
        linear_.set_heated(is_heated);
        convection_.set_heated(is_heated);
        radiation_.set_heated(is_heated);
    }
    void write_flows_and_slopes(double time_s, std::span<const Real> y) const {
        gather(time_s, y);
        Real* flow_w = flow_w_.data();
        Real* slope_w_per_k = slope_w_per_k_.data() + 2 * linear_.edge_count();
        linear_.write_flows(mode_, temperature_k_, flow_w);
        linear_.write_bent_slopes(mode_, temperature_k_, slope_w_per_k_.data());
        convection_.write_flows_and_slopes(mode_, temperature_k_, flow_w += linear_.edge_count(), slope_w_per_k);
        slope_w_per_k += 2 * convection_.edge_count();
        radiation_.write_flows(temperature_k_, flow_w += convection_.edge_count());
        radiation_.write_slopes(temperature_k_, slope_w_per_k);
        slope_w_per_k += 2 * radiation_.edge_count();
        heaters_.write_flows(mode_, temperature_k_, flow_w += radiation_.edge_count());
        heaters_.write_slopes(mode_, temperature_k_, slope_w_per_k);
    }
    /// From the slopes that stand.
    void add_up_time_derivative(std::span<Real> dfdt) const {
        if (std::none_of(boundary_slope_k_per_s_.begin(), boundary_slope_k_per_s_.end(), [](double s) { return s != 0.0; })) {
            std::fill(dfdt.begin(), dfdt.end(), Real{});
            return;
        }
        std::fill(boundary_rate_w_per_s_.begin(), boundary_rate_w_per_s_.end(), Real{});
        for (const GivenSide& side : given_sides_)
            boundary_rate_w_per_s_[side.edge] +=
                slope_w_per_k_[side.slope] * (boundary_gain_[side.boundary] * boundary_slope_k_per_s_[side.boundary]);
        const std::size_t first_heater = flow_w_.size() - source_count_ - heaters_.edge_count();
        heaters_.write_boundary_rates(
            mode_, temperature_k_, [this](std::uint32_t slot) { return slope_of(slot); },
            boundary_rate_w_per_s_.data() + first_heater);
        map_.template add_up_rows<Real>(boundary_rate_w_per_s_, row_factor_, dfdt);
    }
    /// Edges in the order in which their flows are written; the sources' stand last and keep what set_segment() gave them.
    void map_edges(const Network& network) {
        std::vector<FlowEdge> edges;
        LinearTerms<Real>::append_edges(network, layout_, edges);
        ConvectionTerms<Real>::append_edges(network, layout_, edges);
        RadiationTerms<Real>::append_edges(network, layout_, edges);
        HeaterTerms<Real>::append_edges(network, layout_, edges);
        note_given_sides(network);
        for (const Source& source : network.sources())
            edges.push_back({FlowEdge::kNone, layout_.row(source.node), layout_.row(source.account)});
        map_ = FlowMap(size(), edges);
        flow_w_.assign(edges.size(), Real{});
        boundary_rate_w_per_s_.assign(edges.size(), Real{});
        slope_w_per_k_.assign(2 * edges.size(), Real{});
    }
    /// Gaps and heaters have no given side among their two arguments.
    void note_given_sides(const Network& network) {
        std::size_t edge = 0;
        const auto note = [&](Place place, std::size_t side) {
            if (place.kind == Place::Kind::boundary) given_sides_.push_back({2 * edge + side, edge, place.index});
        };
        for (const Conduction& conduction : network.conductions()) {
            note(conduction.from, 0);
            note(conduction.to, 1);
            ++edge;
        }
        for (const Film& film : network.films()) note(film.air.place, 0), ++edge;
        for (const Convection& convection : network.convections()) note(convection.air.place, 0), ++edge;
        edge += network.gap_convections().size();
        for (const Radiation& radiation : network.radiations()) note(radiation.wall.place, 0), ++edge;
    }
    [[nodiscard]] std::ptrdiff_t source_begin() const { return static_cast<std::ptrdiff_t>(flow_w_.size() - source_count_); }
    [[nodiscard]] Real boundary_at(std::size_t index, double time_s) const {
        const double plain_k = boundary_k_[index] + boundary_slope_k_per_s_[index] * (time_s - segment_begin_s_);
        return boundary_gain_[index] * plain_k + boundary_offset_k_[index];
    }
    /// How fast a slot moves by itself: boundaries alone do.
    [[nodiscard]] Real slope_of(std::uint32_t slot) const {
        const std::size_t b = slot - layout_.node_count;
        if (slot < layout_.node_count || b >= layout_.boundary_count) return Real{};
        return boundary_gain_[b] * boundary_slope_k_per_s_[b];
    }
    void gather(double time_s, std::span<const Real> y) const {
        std::copy_n(y.begin(), layout_.node_count, temperature_k_.begin());
        for (std::size_t b = 0; b < layout_.boundary_count; ++b) temperature_k_[layout_.node_count + b] = boundary_at(b, time_s);
        for (std::size_t h = 0; h < layout_.heater_count; ++h)
            temperature_k_[layout_.integral_slot(h)] = y[layout_.node_count + layout_.account_count + h];
    }

    RateLayout layout_;
    double total_capacity_j_per_k_;
    LinearTerms<Real> linear_;
    ConvectionTerms<Real> convection_;
    RadiationTerms<Real> radiation_;
    HeaterTerms<Real> heaters_;
    std::size_t mode_ = 0;
    bool is_heated_ = true;
    double segment_begin_s_ = 0.0;
    NodeList nodes_;
    std::vector<Real> start_k_;
    std::size_t source_count_ = 0;
    std::vector<double> boundary_k_, boundary_slope_k_per_s_;
    std::vector<Real> boundary_gain_, boundary_offset_k_;
    FlowMap map_;
    std::vector<GivenSide> given_sides_;
    std::vector<Real> row_factor_;
    mutable std::vector<Real> temperature_k_, flow_w_, boundary_rate_w_per_s_, slope_w_per_k_;  // scratch
};

}  // namespace bakewright::thermal
