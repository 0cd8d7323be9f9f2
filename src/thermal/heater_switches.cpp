#include "heater_switches.hpp"

#include <algorithm>
#include <cmath>

namespace bakewright::thermal {
namespace {

constexpr double kMomentAheadS = 1e-3;
/// A dead zone is this share of what steps may err by, and at most this share of the error from nothing to full power.
constexpr double kShareOfTolerance = 0.2;
constexpr double kShareOfBand = 1e-3;
/// A controller that is well tuned crosses its limits a few times in a segment; one that crosses them more often is left to the
/// step control, which takes a limit for the kink it is.
constexpr std::size_t kMostCrossings = 100;
/// So often an on-off heater is lit before its mean counts: it has long settled into its swing, and who asks for more has a bake
/// of a day.
constexpr std::size_t kMostFirings = 500;

}  // namespace

double HeaterSwitches::band_overdue_k(std::size_t heater, double time_s, std::span<const double> y) const {
    const Heater& at = network_.heaters()[heater];
    if (system_.heaters().modulates(heater) || system_.heaters().has_tripped(heater)) return -HUGE_VAL;
    const double above_k = system_.place_k(at.sensor, time_s, y) - system_.place_k(at.setpoint, time_s, y);
    return (system_.heaters().is_burning(heater) ? above_k : -above_k) - 0.5 * at.band_k;
}

double HeaterSwitches::limit_overdue_k(std::size_t heater, double time_s, std::span<const double> y) const {
    const Heater& at = network_.heaters()[heater];
    if (!at.limit_k || system_.heaters().has_tripped(heater)) return -HUGE_VAL;
    return system_.place_k(at.limit, time_s, y) - *at.limit_k;
}

double HeaterSwitches::dead_zone_k(std::size_t heater) const {
    const double whole_band_k = system_.heaters().largest_power_w(heater) / system_.heaters().gain_w_per_k(heater);
    return std::min(kShareOfTolerance * tolerance_k_, kShareOfBand * whole_band_k);
}

/// Past a limit, the demand over the gain tells how far.
double HeaterSwitches::regime_overdue_k(std::size_t heater, double time_s, std::span<const double> y) const {
    const HeaterRegime regime = system_.heaters().regime(heater);
    if (!system_.heaters().modulates(heater) || regime == HeaterRegime::by_demand) return -HUGE_VAL;
    const double demand_w = system_.heater_demand_w(heater, time_s, y);
    const double above_w = demand_w - system_.heaters().largest_power_w(heater);
    const double past_w = regime == HeaterRegime::out    ? demand_w
                          : regime == HeaterRegime::full ? -above_w
                                                         : std::max(-demand_w, above_w);
    return past_w / system_.heaters().gain_w_per_k(heater) - dead_zone_k(heater);
}

HeaterRegime HeaterSwitches::next_regime(std::size_t heater, double time_s, std::span<const double> y) const {
    if (system_.heaters().regime(heater) != HeaterRegime::free) return HeaterRegime::free;
    const bool is_full = 2.0 * system_.heater_demand_w(heater, time_s, y) > system_.heaters().largest_power_w(heater);
    return is_full ? HeaterRegime::full : HeaterRegime::out;
}

void HeaterSwitches::cross_limit(std::size_t heater, double time_s, std::span<const double> y) {
    ++crossing_count_;
    const bool goes_on = ++crossings_[heater] <= kMostCrossings;
    system_.heaters().set_regime(heater, goes_on ? next_regime(heater, time_s, y) : HeaterRegime::by_demand);
}

void HeaterSwitches::begin(double time_s, std::span<const double> y, std::vector<HeaterSwitch>& noted) {
    HeaterTerms<double>& heaters = system_.heaters();
    std::fill(crossings_.begin(), crossings_.end(), std::size_t{0});
    for (std::size_t h = 0; h < network_.heaters().size(); ++h) heaters.set_regime(h, HeaterRegime::by_demand);
    // A controller at rest stands right at a limit: where it will be in a moment tells the regime.
    std::vector<double> dydt(system_.size()), ahead(y.begin(), y.end());
    system_.rates(time_s, y, dydt);
    for (std::size_t i = 0; i < ahead.size(); ++i) ahead[i] += kMomentAheadS * dydt[i];
    for (std::size_t h = 0; h < network_.heaters().size(); ++h) {
        if (!heaters.modulates(h)) continue;
        const double largest_w = heaters.largest_power_w(h), near_w = dead_zone_k(h) * heaters.gain_w_per_k(h);
        double demand_w = system_.heater_demand_w(h, time_s, y);
        if (std::abs(demand_w) <= near_w || std::abs(demand_w - largest_w) <= near_w)
            demand_w += std::clamp(system_.heater_demand_w(h, time_s + kMomentAheadS, ahead) - demand_w, -near_w, near_w);
        heaters.set_regime(h, demand_w <= 0.0         ? HeaterRegime::out
                              : demand_w >= largest_w ? HeaterRegime::full
                                                      : HeaterRegime::free);
    }
    switch_bands_and_limits(time_s, y, 0.0, noted);
}

double HeaterSwitches::most_overdue_k(double time_s, std::span<const double> y) const {
    double most_k = -HUGE_VAL;
    for (std::size_t h = 0; h < network_.heaters().size(); ++h)
        most_k = std::max({most_k, band_overdue_k(h, time_s, y), limit_overdue_k(h, time_s, y), regime_overdue_k(h, time_s, y)});
    return most_k;
}

void HeaterSwitches::switch_due(double time_s, std::span<const double> y, double near_k, std::vector<HeaterSwitch>& noted) {
    for (std::size_t h = 0; h < network_.heaters().size(); ++h)
        if (regime_overdue_k(h, time_s, y) >= -std::min(near_k, 0.5 * dead_zone_k(h))) cross_limit(h, time_s, y);
    switch_bands_and_limits(time_s, y, near_k, noted);
}

void HeaterSwitches::switch_bands_and_limits(double time_s, std::span<const double> y, double near_k,
                                             std::vector<HeaterSwitch>& noted) {
    HeaterTerms<double>& heaters = system_.heaters();
    for (std::size_t h = 0; h < network_.heaters().size(); ++h) {
        if (limit_overdue_k(h, time_s, y) >= -near_k) {
            heaters.set_tripped(h, true);
            noted.push_back({time_s, h, HeaterSwitch::Kind::tripped});
        } else if (band_overdue_k(h, time_s, y) >= -near_k) {
            const bool burns = !heaters.is_burning(h);
            heaters.set_burning(h, burns);
            noted.push_back({time_s, h, burns ? HeaterSwitch::Kind::on : HeaterSwitch::Kind::off});
            // By demand: a mean that begins somewhere between nothing and full power has no regime before it.
            if (burns && ++firings_[h] >= kMostFirings) heaters.set_averaged(h);
        }
    }
}

}  // namespace bakewright::thermal
