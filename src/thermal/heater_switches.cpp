#include "heater_switches.hpp"

#include <algorithm>
#include <cmath>

namespace bakewright::thermal {

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

double HeaterSwitches::most_overdue_k(double time_s, std::span<const double> y) const {
    double most_k = -HUGE_VAL;
    for (std::size_t h = 0; h < network_.heaters().size(); ++h)
        most_k = std::max({most_k, band_overdue_k(h, time_s, y), limit_overdue_k(h, time_s, y)});
    return most_k;
}

void HeaterSwitches::switch_due(double time_s, std::span<const double> y, double near_k, std::vector<HeaterSwitch>& noted) {
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
