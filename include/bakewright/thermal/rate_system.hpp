#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "bakewright/base/units.hpp"
#include "bakewright/thermal/flow_jacobian.hpp"
#include "bakewright/thermal/network.hpp"

namespace bakewright::thermal {

/// A network laid out flat for the solver: its rates of change as a system of ordinary differential equations, with their exact
/// derivatives (a DifferentiableSystem). One object serves one thread: it keeps scratch values.
///
/// State y: the node temperatures [K] in node order, then one value an account: its heat divided by the network's total heat
/// capacity [K], so that one tolerance suits all. Real is double, or a pack of doubles whose lanes are different members of an
/// ensemble; conductances are then scaled lane by lane.
/// Never throws in rates(): runs in the solver's inner loop on checked data.
template <class Real>
class RateSystem {
public:
    explicit RateSystem(const Network& network)
        : node_count_(network.node_count()),
          boundary_count_(network.boundary_count()),
          account_count_(network.accounts().size()),
          total_capacity_j_per_k_(network.total_heat_capacity_j_per_k()),
          source_count_(network.sources().size()) {
        names_.reserve(node_count_);
        for (const Network::Node& node : network.nodes()) {
            row_factor_.push_back(Real{} + 1.0 / node.heat_capacity_j_per_k);
            start_k_.push_back(Real{} + node.start_k);
            names_.push_back(node.name);
        }
        for (const Conduction& edge : network.conductions())
            conductions_.push_back({slot(edge.from), slot(edge.to), account(edge.account), Real{} + edge.conductance_w_per_k});
        for (const Film& edge : network.films()) {
            FilmEdge flat{slot(edge.air.place), slot(edge.node),   account(edge.account),
                          edge.air.gain,        edge.air.offset_k, Real{} + edge.conductance_w_per_k,
                          edge.mode_factor};
            films_.push_back(flat);
        }
        for (const Radiation& edge : network.radiations())
            radiations_.push_back({slot(edge.wall.place), slot(edge.node), account(edge.account), edge.wall.gain,
                                   edge.wall.offset_k, Real{} + edge.exchange_area_m2 * kStefanBoltzmann});
        for (const Source& source : network.sources()) sources_.push_back({slot(source.node), account(source.account)});
        boundary_k_.assign(boundary_count_, 0.0);
        boundary_slope_k_per_s_.assign(boundary_count_, 0.0);
        source_w_.assign(source_count_, 0.0);
        temperature_k_.resize(node_count_ + boundary_count_);
        flow_w_.resize(node_count_ + boundary_count_ + account_count_ + 1);
        row_factor_.resize(size(), Real{} + 1.0 / total_capacity_j_per_k_);
        jacobian_ = FlowJacobian<Real>(size(), flow_edges());
        linear_w_per_k_.resize(jacobian_.sum_count());
        sum_w_per_k_.resize(jacobian_.sum_count());
        add_up_linear_edges();
    }

    [[nodiscard]] std::size_t size() const noexcept { return node_count_ + account_count_; }
    [[nodiscard]] std::size_t node_count() const noexcept { return node_count_; }
    [[nodiscard]] std::string name(std::size_t index) const { return index < node_count_ ? names_[index] : "heat account"; }
    /// Heat [J] on an account, from a state.
    [[nodiscard]] Real account_heat_j(std::span<const Real> y, std::size_t index) const {
        return y[node_count_ + index] * total_capacity_j_per_k_;
    }

    /// The state at time 0: start temperatures, empty accounts.
    void start(std::span<Real> y) const {
        std::copy(start_k_.begin(), start_k_.end(), y.begin());
        std::fill(y.begin() + static_cast<std::ptrdiff_t>(node_count_), y.end(), Real{});
    }

    /// Sets what is given from outside from now on.
    void set_segment(const Segment& segment) {
        const double span_s = segment.end_s - segment.begin_s;
        segment_begin_s_ = segment.begin_s;
        for (std::size_t b = 0; b < boundary_count_; ++b) {
            boundary_k_[b] = segment.boundary_begin_k[b];
            boundary_slope_k_per_s_[b] = (segment.boundary_end_k[b] - segment.boundary_begin_k[b]) / span_s;
        }
        std::copy(segment.source_w.begin(), segment.source_w.end(), source_w_.begin());
        if (mode_ == segment.mode) return;
        mode_ = segment.mode;
        add_up_linear_edges();
    }

    /// dy/dt [K/s]. Shapes: both spans hold size() values.
    void rates(double time_s, std::span<const Real> y, std::span<Real> dydt) const {
        gather_temperatures(time_s, y);
        std::fill(flow_w_.begin(), flow_w_.end(), Real{});
        add_conduction_flows();
        add_film_flows();
        add_radiation_flows();
        for (std::size_t s = 0; s < source_count_; ++s) {
            flow_w_[sources_[s].node] += source_w_[s];
            flow_w_[sources_[s].account] += source_w_[s];
        }
        scale_flows(dydt);
    }

    /// Where jacobian() may be non-zero. The rows of accounts hold the nodes whose edges are booked on them.
    [[nodiscard]] const SparsityPattern& pattern() const noexcept { return jacobian_.pattern(); }

    /// d(dy/dt)/dy [1/s], in the order of pattern(). Shape: values hold pattern().entry_count() values.
    void jacobian(double time_s, std::span<const Real> y, std::span<Real> values) const {
        gather_temperatures(time_s, y);
        std::copy(linear_w_per_k_.begin(), linear_w_per_k_.end(), sum_w_per_k_.begin());
        std::size_t number = conductions_.size() + films_.size();
        for (const RadiationEdge& edge : radiations_)
            jacobian_.add(number++, radiation_per_wall_w_per_k(edge), -radiation_per_node_w_per_k(edge), sum_w_per_k_);
        jacobian_.scale_rows(sum_w_per_k_, row_factor_, values);
    }

    /// Partial derivative of dy/dt by time with y held [K/s2]: what the moving boundaries do. Shapes: spans hold size() values.
    void time_derivative(double time_s, std::span<const Real> y, std::span<Real> dfdt) const {
        std::fill(flow_w_.begin(), flow_w_.end(), Real{});
        if (std::any_of(boundary_slope_k_per_s_.begin(), boundary_slope_k_per_s_.end(), [](double s) { return s != 0.0; })) {
            gather_temperatures(time_s, y);
            add_flow_slopes();
        }
        scale_flows(dfdt);
    }

private:
    struct ConductionEdge {
        std::uint32_t from, to, account;
        Real conductance_w_per_k;
    };
    struct FilmEdge {
        std::uint32_t air, node, account;
        double gain, offset_k;
        Real conductance_w_per_k;
        std::array<double, kModeCount> mode_factor;
    };
    struct RadiationEdge {
        std::uint32_t wall, node, account;
        double gain, offset_k;
        Real exchange_w_per_k4;
    };
    struct SourceEdge {
        std::uint32_t node, account;
    };

    [[nodiscard]] std::uint32_t slot(Place place) const noexcept {
        return place.kind == Place::Kind::node ? place.index : static_cast<std::uint32_t>(node_count_) + place.index;
    }
    /// Slot of an account in flow_w_; the last slot takes what nobody books.
    [[nodiscard]] std::uint32_t account(AccountIndex index) const noexcept {
        const std::size_t used = index == kNoAccount ? account_count_ : index;
        return static_cast<std::uint32_t>(node_count_ + boundary_count_ + used);
    }

    /// The edges for the Jacobian: conductions, films, radiations.
    [[nodiscard]] std::vector<typename FlowJacobian<Real>::Edge> flow_edges() const {
        const auto row = [this](std::uint32_t used) {
            const auto first_account = static_cast<std::uint32_t>(node_count_ + boundary_count_);
            if (used < node_count_) return used;
            const bool is_solved_for = used >= first_account && used < first_account + account_count_;
            return is_solved_for ? used - static_cast<std::uint32_t>(boundary_count_) : FlowJacobian<Real>::kNone;
        };
        std::vector<typename FlowJacobian<Real>::Edge> edges;
        for (const ConductionEdge& edge : conductions_) edges.push_back({row(edge.from), row(edge.to), row(edge.account)});
        for (const FilmEdge& edge : films_) edges.push_back({row(edge.air), row(edge.node), row(edge.account)});
        for (const RadiationEdge& edge : radiations_) edges.push_back({row(edge.wall), row(edge.node), row(edge.account)});
        return edges;
    }
    /// What of the Jacobian stands still as long as the mode does.
    void add_up_linear_edges() {
        std::fill(linear_w_per_k_.begin(), linear_w_per_k_.end(), Real{});
        std::size_t number = 0;
        for (const ConductionEdge& edge : conductions_)
            jacobian_.add(number++, edge.conductance_w_per_k, -edge.conductance_w_per_k, linear_w_per_k_);
        for (const FilmEdge& edge : films_) {
            const Real conductance_w_per_k = edge.conductance_w_per_k * edge.mode_factor[mode_];
            jacobian_.add(number++, conductance_w_per_k * edge.gain, -conductance_w_per_k, linear_w_per_k_);
        }
    }
    [[nodiscard]] Real radiation_per_wall_w_per_k(const RadiationEdge& edge) const {
        const Real wall_k = temperature_k_[edge.wall] * edge.gain + edge.offset_k;
        return edge.exchange_w_per_k4 * (4.0 * edge.gain) * (wall_k * wall_k * wall_k);
    }
    [[nodiscard]] Real radiation_per_node_w_per_k(const RadiationEdge& edge) const {
        const Real node_k = temperature_k_[edge.node];
        return edge.exchange_w_per_k4 * 4.0 * (node_k * node_k * node_k);
    }
    /// How fast a slot moves by itself: boundaries alone do.
    [[nodiscard]] double slope_k_per_s(std::uint32_t used) const {
        return used < node_count_ ? 0.0 : boundary_slope_k_per_s_[used - node_count_];
    }
    void add_flow_slopes() const {
        for (const ConductionEdge& edge : conductions_)
            book(edge.from, edge.to, edge.account,
                 edge.conductance_w_per_k * (slope_k_per_s(edge.from) - slope_k_per_s(edge.to)));
        for (const FilmEdge& edge : films_)
            book(edge.air, edge.node, edge.account,
                 edge.conductance_w_per_k * (edge.mode_factor[mode_] * edge.gain * slope_k_per_s(edge.air)));
        for (const RadiationEdge& edge : radiations_)
            book(edge.wall, edge.node, edge.account, radiation_per_wall_w_per_k(edge) * slope_k_per_s(edge.wall));
    }
    /// Flows [W] into nodes and accounts as changes of the state [K/s].
    void scale_flows(std::span<Real> dydt) const {
        for (std::size_t i = 0; i < node_count_; ++i) dydt[i] = flow_w_[i] * row_factor_[i];
        for (std::size_t i = node_count_; i < size(); ++i) dydt[i] = flow_w_[i + boundary_count_] * row_factor_[i];
    }

    void gather_temperatures(double time_s, std::span<const Real> y) const {
        std::copy_n(y.begin(), node_count_, temperature_k_.begin());
        const double elapsed_s = time_s - segment_begin_s_;
        for (std::size_t b = 0; b < boundary_count_; ++b)
            temperature_k_[node_count_ + b] = Real{} + (boundary_k_[b] + boundary_slope_k_per_s_[b] * elapsed_s);
    }
    void book(std::uint32_t from, std::uint32_t to, std::uint32_t account_slot, Real heat_w) const {
        flow_w_[from] -= heat_w;
        flow_w_[to] += heat_w;
        flow_w_[account_slot] += heat_w;
    }
    void add_conduction_flows() const {
        for (const ConductionEdge& edge : conductions_)
            book(edge.from, edge.to, edge.account,
                 edge.conductance_w_per_k * (temperature_k_[edge.from] - temperature_k_[edge.to]));
    }
    void add_film_flows() const {
        for (const FilmEdge& edge : films_)
            book(edge.air, edge.node, edge.account,
                 edge.conductance_w_per_k * edge.mode_factor[mode_] *
                     (temperature_k_[edge.air] * edge.gain + edge.offset_k - temperature_k_[edge.node]));
    }
    void add_radiation_flows() const {
        for (const RadiationEdge& edge : radiations_) {
            const Real wall_k = temperature_k_[edge.wall] * edge.gain + edge.offset_k;
            const Real node_k = temperature_k_[edge.node];
            const Real wall_squared = wall_k * wall_k;
            const Real node_squared = node_k * node_k;
            // (a^4 - b^4) as a product: exact zero for equal temperatures and no cancellation near them.
            const Real difference = (wall_k - node_k) * (wall_k + node_k) * (wall_squared + node_squared);
            book(edge.wall, edge.node, edge.account, edge.exchange_w_per_k4 * difference);
        }
    }

    std::size_t node_count_, boundary_count_, account_count_;
    double total_capacity_j_per_k_;
    std::size_t source_count_;
    std::size_t mode_ = 0;
    double segment_begin_s_ = 0.0;
    std::vector<std::string> names_;
    std::vector<Real> start_k_;
    std::vector<ConductionEdge> conductions_;
    std::vector<FilmEdge> films_;
    std::vector<RadiationEdge> radiations_;
    std::vector<SourceEdge> sources_;
    std::vector<double> boundary_k_, boundary_slope_k_per_s_, source_w_;
    FlowJacobian<Real> jacobian_;
    std::vector<Real> row_factor_, linear_w_per_k_;
    mutable std::vector<Real> temperature_k_, flow_w_, sum_w_per_k_;  // scratch
};

}  // namespace bakewright::thermal
