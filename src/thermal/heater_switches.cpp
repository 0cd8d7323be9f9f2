#include "heater_switches.hpp"

#include <algorithm>
#include <cmath>

namespace bakewright::thermal {
namespace {

constexpr double kMomentAheadS = 1e-3;

}  // namespace

double HeaterSwitches::band_overdue_k(std::size_t heater, double time_s, std::span<const double> y) const {
    const Heater& at = network_.heaters()[heater];
    if (at.control != Heater::Control::on_off || system_.heaters().has_tripped(heater)) return -HUGE_VAL;
    const double above_k = system_.place_k(at.sensor, time_s, y) - system_.place_k(at.setpoint, time_s, y);
    return (system_.heaters().is_burning(heater) ? above_k : -above_k) - 0.5 * at.band_k;
}

double HeaterSwitches::limit_overdue_k(std::size_t heater, double time_s, std::span<const double> y) const {
    const Heater& at = network_.heaters()[heater];
    if (!at.limit_k || system_.heaters().has_tripped(heater)) return -HUGE_VAL;
    return system_.place_k(at.limit, time_s, y) - *at.limit_k;
}

/// Past a limit, the demand over the gain tells how far.
double HeaterSwitches::regime_overdue_k(std::size_t heater, double time_s, std::span<const double> y) const {
    const Heater& at = network_.heaters()[heater];
    if (at.control != Heater::Control::proportional_integral) return -HUGE_VAL;
    const double demand_w = system_.heater_demand_w(heater, time_s, y);
    switch (system_.heaters().regime(heater)) {
        case HeaterRegime::out:
            return demand_w / at.gain_w_per_k;
        case HeaterRegime::free:
            return std::max(-demand_w, demand_w - system_.heaters().largest_power_w(heater)) / at.gain_w_per_k;
        case HeaterRegime::full:
            return (system_.heaters().largest_power_w(heater) - demand_w) / at.gain_w_per_k;
        case HeaterRegime::by_demand:
            break;
    }
    return -HUGE_VAL;
}

HeaterRegime HeaterSwitches::next_regime(std::size_t heater, double time_s, std::span<const double> y) const {
    if (system_.heaters().regime(heater) != HeaterRegime::free) return HeaterRegime::free;
    const bool is_full = 2.0 * system_.heater_demand_w(heater, time_s, y) > system_.heaters().largest_power_w(heater);
    return is_full ? HeaterRegime::full : HeaterRegime::out;
}

void HeaterSwitches::begin(double time_s, std::span<const double> y, std::vector<HeaterSwitch>& noted) {
    HeaterTerms<double>& heaters = system_.heaters();
    for (std::size_t h = 0; h < network_.heaters().size(); ++h) heaters.set_regime(h, HeaterRegime::by_demand);
    // A controller at rest stands right at a limit: where it will be in a moment tells the regime.
    std::vector<double> dydt(system_.size()), ahead(y.begin(), y.end());
    system_.rates(time_s, y, dydt);
    for (std::size_t i = 0; i < ahead.size(); ++i) ahead[i] += kMomentAheadS * dydt[i];
    for (std::size_t h = 0; h < network_.heaters().size(); ++h) {
        const Heater& at = network_.heaters()[h];
        if (at.control != Heater::Control::proportional_integral) continue;
        const double demand_w = system_.heater_demand_w(h, time_s + kMomentAheadS, ahead);
        heaters.set_regime(h, demand_w <= 0.0                          ? HeaterRegime::out
                              : demand_w >= heaters.largest_power_w(h) ? HeaterRegime::full
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
        if (regime_overdue_k(h, time_s, y) >= -near_k) system_.heaters().set_regime(h, next_regime(h, time_s, y));
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
        }
    }
}

}  // namespace bakewright::thermal
