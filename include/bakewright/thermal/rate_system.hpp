#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "bakewright/base/units.hpp"
#include "bakewright/thermal/convection_terms.hpp"
#include "bakewright/thermal/flow_jacobian.hpp"
#include "bakewright/thermal/heater_terms.hpp"
#include "bakewright/thermal/linear_terms.hpp"
#include "bakewright/thermal/network.hpp"
#include "bakewright/thermal/radiation_terms.hpp"
#include "bakewright/thermal/rate_layout.hpp"

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
          heaters_(network, layout_) {
        for (const Network::Node& node : network.nodes()) {
            row_factor_.push_back(Real{} + 1.0 / node.heat_capacity_j_per_k);
            start_k_.push_back(Real{} + node.start_k);
            nodes_.push_back(node);
        }
        for (const Source& source : network.sources())
            sources_.push_back({layout_.slot(source.node), layout_.account(source.account)});
        boundary_k_.assign(layout_.boundary_count, 0.0);
        boundary_slope_k_per_s_.assign(layout_.boundary_count, 0.0);
        boundary_gain_.assign(layout_.boundary_count, Real{} + 1.0);
        boundary_offset_k_.assign(layout_.boundary_count, Real{});
        source_w_.assign(sources_.size(), 0.0);
        temperature_k_.assign(layout_.slot_count(), Real{});
        flow_w_.assign(layout_.slot_count(), Real{});
        row_factor_.resize(layout_.node_count + layout_.account_count, Real{} + 1.0 / total_capacity_j_per_k_);
        row_factor_.resize(size(), Real{} + 1.0);
        lay_out_jacobian();
        add_up_linear_edges();
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
        add_up_linear_edges();
    }

    /// Sets what is given from outside from now on.
    void set_segment(const Segment& segment) {
        const double span_s = segment.end_s - segment.begin_s;
        segment_begin_s_ = segment.begin_s;
        for (std::size_t b = 0; b < layout_.boundary_count; ++b) {
            boundary_k_[b] = segment.boundary_begin_k[b];
            boundary_slope_k_per_s_[b] = (segment.boundary_end_k[b] - segment.boundary_begin_k[b]) / span_s;
        }
        std::copy(segment.source_w.begin(), segment.source_w.end(), source_w_.begin());
        if (mode_ == segment.mode) return;
        mode_ = segment.mode;
        add_up_linear_edges();
    }
    [[nodiscard]] HeaterTerms<Real>& heaters() noexcept { return heaters_; }
    [[nodiscard]] const HeaterTerms<Real>& heaters() const noexcept { return heaters_; }

    /// Power [W] of a heater at a state.
    [[nodiscard]] Real heater_power_w(std::size_t heater, double time_s, std::span<const Real> y) const {
        gather(time_s, y);
        return heaters_.power_w(heater, mode_, temperature_k_);
    }
    /// Temperature [K] of a place at a state.
    [[nodiscard]] Real place_k(Place place, double time_s, std::span<const Real> y) const {
        return place.kind == Place::Kind::node ? y[place.index] : boundary_at(place.index, time_s);
    }

    /// dy/dt [K/s]. Shapes: both spans hold size() values.
    void rates(double time_s, std::span<const Real> y, std::span<Real> dydt) const {
        gather(time_s, y);
        std::fill(flow_w_.begin(), flow_w_.end(), Real{});
        linear_.add_flows(mode_, temperature_k_, flow_w_);
        convection_.add_flows(mode_, temperature_k_, flow_w_);
        radiation_.add_flows(temperature_k_, flow_w_);
        heaters_.add_flows(mode_, temperature_k_, flow_w_);
        for (std::size_t s = 0; s < sources_.size(); ++s) {
            flow_w_[sources_[s].node] += source_w_[s];
            flow_w_[sources_[s].account] += source_w_[s];
        }
        scale_flows(dydt);
    }

    /// Where jacobian() may be non-zero. The rows of accounts hold the nodes whose edges are booked on them.
    [[nodiscard]] const SparsityPattern& pattern() const noexcept { return jacobian_.pattern(); }

    /// d(dy/dt)/dy [1/s], in the order of pattern(). Shape: values hold pattern().entry_count() values.
    void jacobian(double time_s, std::span<const Real> y, std::span<Real> values) const {
        gather(time_s, y);
        std::copy(linear_w_per_k_.begin(), linear_w_per_k_.end(), sum_w_per_k_.begin());
        std::size_t number = linear_.edge_count();
        number = convection_.add_to_jacobian(number, mode_, temperature_k_, jacobian_, sum_w_per_k_);
        radiation_.add_to_jacobian(number, temperature_k_, jacobian_, sum_w_per_k_);
        heaters_.add_to_jacobian(mode_, temperature_k_, jacobian_, sum_w_per_k_);
        jacobian_.scale_rows(sum_w_per_k_, row_factor_, values);
    }

    /// Partial derivative of dy/dt by time with y held [K/s2]: what the moving boundaries do. Shapes: spans hold size() values.
    void time_derivative(double time_s, std::span<const Real> y, std::span<Real> dfdt) const {
        std::fill(flow_w_.begin(), flow_w_.end(), Real{});
        if (std::any_of(boundary_slope_k_per_s_.begin(), boundary_slope_k_per_s_.end(), [](double s) { return s != 0.0; })) {
            gather(time_s, y);
            const auto slope_k_per_s = [this](std::uint32_t slot) { return slope_of(slot); };
            linear_.add_flow_slopes(mode_, slope_k_per_s, flow_w_);
            convection_.add_flow_slopes(mode_, temperature_k_, slope_k_per_s, flow_w_);
            radiation_.add_flow_slopes(temperature_k_, slope_k_per_s, flow_w_);
            heaters_.add_flow_slopes(mode_, temperature_k_, slope_k_per_s, flow_w_);
        }
        scale_flows(dfdt);
    }

private:
    struct SourceTerm {
        std::uint32_t node, account;
    };

    void lay_out_jacobian() {
        std::vector<typename FlowJacobian<Real>::Edge> edges;
        linear_.append_edges(layout_, edges);
        convection_.append_edges(layout_, edges);
        radiation_.append_edges(layout_, edges);
        std::vector<typename FlowJacobian<Real>::Cell> cells;
        heaters_.append_cells(layout_, cells);
        jacobian_ = FlowJacobian<Real>(size(), edges, cells);
        linear_w_per_k_.resize(jacobian_.sum_count());
        sum_w_per_k_.resize(jacobian_.sum_count());
    }
    /// What of the Jacobian stands still as long as the mode does.
    void add_up_linear_edges() {
        std::fill(linear_w_per_k_.begin(), linear_w_per_k_.end(), Real{});
        linear_.add_to_jacobian(mode_, jacobian_, linear_w_per_k_);
    }
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
    /// Flows [W] into nodes and accounts as changes of the state [K/s].
    void scale_flows(std::span<Real> dydt) const {
        for (std::size_t i = 0; i < layout_.node_count; ++i) dydt[i] = flow_w_[i] * row_factor_[i];
        for (std::size_t i = layout_.node_count; i < size(); ++i) dydt[i] = flow_w_[i + layout_.boundary_count] * row_factor_[i];
    }
    void gather(double time_s, std::span<const Real> y) const {
        std::copy_n(y.begin(), layout_.node_count, temperature_k_.begin());
        for (std::size_t b = 0; b < layout_.boundary_count; ++b) temperature_k_[layout_.node_count + b] = boundary_at(b, time_s);
        for (std::size_t h = 0; h < layout_.heater_count; ++h)
            temperature_k_[layout_.integral(h)] = y[layout_.node_count + layout_.account_count + h];
    }

    RateLayout layout_;
    double total_capacity_j_per_k_;
    LinearTerms<Real> linear_;
    ConvectionTerms<Real> convection_;
    RadiationTerms<Real> radiation_;
    HeaterTerms<Real> heaters_;
    std::size_t mode_ = 0;
    double segment_begin_s_ = 0.0;
    std::vector<Network::Node> nodes_;
    std::vector<Real> start_k_;
    std::vector<SourceTerm> sources_;
    std::vector<double> boundary_k_, boundary_slope_k_per_s_, source_w_;
    std::vector<Real> boundary_gain_, boundary_offset_k_;
    FlowJacobian<Real> jacobian_;
    std::vector<Real> row_factor_, linear_w_per_k_;
    mutable std::vector<Real> temperature_k_, flow_w_, sum_w_per_k_;  // scratch
};

}  // namespace bakewright::thermal
