#include "numbers.hpp"

#include <fmt/format.h>

#include <cmath>

#include "bakewright/base/units.hpp"

namespace bakewright::report {

std::string fixed(double value, int decimals) {
    if (!std::isfinite(value)) return "n/a";
    std::string text = fmt::format("{:.{}f}", value, decimals);
    if (text.starts_with('-') && text.find_first_of("123456789") == std::string::npos) text.erase(0, 1);
    return text;
}

std::string temperature_number(double temperature_k, const Units& units, int decimals) {
    return fixed(temperature_in(temperature_k, units), decimals);
}

std::string difference_number(double difference_k, const Units& units, int decimals) {
    return fixed(temperature_difference_in(difference_k, units), decimals);
}

std::string minutes_number(double time_s, int decimals) { return fixed(seconds_to_minutes(time_s), decimals); }

std::string difference_symbol(const Units& units) { return units.temperature == TemperatureUnit::fahrenheit ? "°F" : "K"; }

}  // namespace bakewright::report
