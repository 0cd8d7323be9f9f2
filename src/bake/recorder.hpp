#pragma once

#include <span>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/built_network.hpp"
#include "bakewright/thermal/solve.hpp"

namespace bakewright::bake {

/// Collects traces and heat accounts while a solve reports. Refers to what it is made with for its lifetime.
class Recorder {
public:
    /// @param interval_s  between the moments that the solve reports
    Recorder(const BuiltNetwork& built, const Booth& booth, std::span<const thermal::Segment> segments, double interval_s);

    void operator()(double time_s, std::span<const double> node_k, std::span<const double> account_j);

    [[nodiscard]] HeatAccount heat() const;
    /// Promise: the booth was solved for.
    [[nodiscard]] BoothRun booth_run(const std::vector<thermal::HeaterSwitch>& switches) const;
    /// Every node at the last reported moment.
    [[nodiscard]] const std::vector<double>& last_node_k() const noexcept { return last_node_k_; }
    [[nodiscard]] TraceSet take() { return std::move(traces_); }

private:
    [[nodiscard]] double boundary_k(std::size_t index, double time_s) const;
    [[nodiscard]] bool is_booth_node(std::size_t node) const;
    [[nodiscard]] double stored_j(bool in_booth) const;
    void watch_burner(double time_s, double burner_j);

    const BuiltNetwork& built_;
    const Booth& booth_;
    std::span<const thermal::Segment> segments_;
    std::size_t segment_ = 0;
    TraceSet traces_;
    std::vector<double> last_node_k_, last_account_j_;
    double last_s_ = 0.0, largest_power_w_ = 0.0, full_power_s_ = 0.0, pulsing_s_ = 0.0;
};

}  // namespace bakewright::bake
