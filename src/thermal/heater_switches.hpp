#pragma once

#include <span>
#include <vector>

#include "bakewright/thermal/network.hpp"
#include "bakewright/thermal/rate_system.hpp"
#include "bakewright/thermal/solve.hpp"

namespace bakewright::thermal {

/// The switches of a network's heaters: on and off by band, off for good by high limit, and from one regime to the next where a
/// proportional-integral heater reaches or leaves a limit. Switches the heaters of the system. Refers to both for its lifetime.
class HeaterSwitches {
public:
    HeaterSwitches(const Network& network, RateSystem<double>& system) : network_(network), system_(system) {}

    /// Sets the heaters right where a segment begins: what is due is switched, and regimes are those of the demand.
    void begin(double time_s, std::span<const double> y, std::vector<HeaterSwitch>& noted);
    /// How far [K] the switch that is furthest past its level is past it; below 0 where none is due.
    [[nodiscard]] double most_overdue_k(double time_s, std::span<const double> y) const;
    /// Switches all that are due, and notes them. @param near_k  so close below its level a switch counts as due
    void switch_due(double time_s, std::span<const double> y, double near_k, std::vector<HeaterSwitch>& noted);

private:
    void switch_bands_and_limits(double time_s, std::span<const double> y, double near_k, std::vector<HeaterSwitch>& noted);
    [[nodiscard]] double regime_overdue_k(std::size_t heater, double time_s, std::span<const double> y) const;
    [[nodiscard]] HeaterRegime next_regime(std::size_t heater, double time_s, std::span<const double> y) const;
    [[nodiscard]] double band_overdue_k(std::size_t heater, double time_s, std::span<const double> y) const;
    [[nodiscard]] double limit_overdue_k(std::size_t heater, double time_s, std::span<const double> y) const;

    const Network& network_;
    RateSystem<double>& system_;
};

}  // namespace bakewright::thermal
