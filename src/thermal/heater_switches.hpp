#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "bakewright/thermal/network.hpp"
#include "bakewright/thermal/rate_system.hpp"
#include "bakewright/thermal/solve.hpp"

namespace bakewright::thermal {

/// The switches of a network's heaters: on and off by band, off for good by high limit, and from one regime to the next where a
/// heater that modulates reaches or leaves a limit. Switches the heaters of the system. Refers to both for its lifetime.
///
/// At a limit the rates are continuous and only their slopes have a kink. A regime may therefore go on a little beyond its limit
/// (dead_zone_k()), as the smooth equations it is: a controller that rests on its limit, or creeps along it, then throws no
/// switches over the solver's last digits. One that crosses its limits without end in one segment is left to the kink.
/// An on-off heater is followed switch by switch for its first 500 firings, then by its mean.
class HeaterSwitches {
public:
    /// @param tolerance_k  what the solver's steps may err by [K]
    HeaterSwitches(const Network& network, RateSystem<double>& system, double tolerance_k)
        : network_(network),
          system_(system),
          tolerance_k_(tolerance_k),
          crossings_(network.heaters().size(), 0),
          firings_(crossings_) {}

    /// Sets the heaters right where a segment begins: what is due is switched, and regimes are those of the demand.
    void begin(double time_s, std::span<const double> y, std::vector<HeaterSwitch>& noted);
    /// How far [K] the switch that is furthest past its level is past it; below 0 where none is due.
    [[nodiscard]] double most_overdue_k(double time_s, std::span<const double> y) const;
    /// Switches all that are due, and notes them. @param near_k  so close below its level a switch counts as due
    void switch_due(double time_s, std::span<const double> y, double near_k, std::vector<HeaterSwitch>& noted);
    /// How often heaters that modulate have crossed a limit, since it was made.
    [[nodiscard]] std::size_t crossing_count() const noexcept { return crossing_count_; }

private:
    void switch_bands_and_limits(double time_s, std::span<const double> y, double near_k, std::vector<HeaterSwitch>& noted);
    void cross_limit(std::size_t heater, double time_s, std::span<const double> y);
    /// How far [K of error] a regime goes on beyond its limit.
    [[nodiscard]] double dead_zone_k(std::size_t heater) const;
    [[nodiscard]] double regime_overdue_k(std::size_t heater, double time_s, std::span<const double> y) const;
    [[nodiscard]] HeaterRegime next_regime(std::size_t heater, double time_s, std::span<const double> y) const;
    [[nodiscard]] double band_overdue_k(std::size_t heater, double time_s, std::span<const double> y) const;
    [[nodiscard]] double limit_overdue_k(std::size_t heater, double time_s, std::span<const double> y) const;

    const Network& network_;
    RateSystem<double>& system_;
    double tolerance_k_;
    std::vector<std::size_t> crossings_;  ///< of each heater in this segment
    std::vector<std::size_t> firings_;    ///< of each on-off heater
    std::size_t crossing_count_ = 0;
};

}  // namespace bakewright::thermal
