// SPDX-License-Identifier: Apache-2.0
#include "bakewright/base/format.hpp"

#include <fmt/format.h>

#include <cmath>

#include "bakewright/base/units.hpp"

namespace bakewright {
namespace {

constexpr std::string_view kNotAvailable = "n/a";
constexpr double kSquareFootM2 = 144.0 * kMetrePerInch * kMetrePerInch;
/// Thinner than this a thickness is a film build, which the trade states in micrometres or mils.
constexpr double kFilmM = 0.2e-3;

/// Fixed decimals; a value that rounds to zero carries no minus sign.
std::string fixed(double value, int decimals) {
    std::string text = fmt::format("{:.{}f}", value, decimals);
    if (text.starts_with('-') && text.find_first_of("123456789") == std::string::npos) text.erase(0, 1);
    return text;
}

std::string with_unit(double value, int decimals, std::string_view unit) {
    if (!std::isfinite(value)) return std::string(kNotAvailable);
    return fmt::format("{} {}", fixed(value, decimals), unit);
}

/// As with_unit with two decimals, but a last decimal of 0 is dropped: "1.2 mm", "1.21 mm".
std::string with_unit_one_or_two(double value, std::string_view unit) {
    std::string text = with_unit(value, 2, unit);
    const std::size_t last_decimal = text.find(' ') - 1;
    if (std::isfinite(value) && text[last_decimal] == '0') text.erase(last_decimal, 1);
    return text;
}

bool fahrenheit(const Units& units) { return units.temperature == TemperatureUnit::fahrenheit; }

std::string_view difference_symbol(const Units& units) { return fahrenheit(units) ? "°F" : "K"; }

std::string minutes_text(double time_min) {
    const double hours = std::floor(time_min / 60.0);
    const double minutes = time_min - 60.0 * hours;
    if (hours == 0.0) return fmt::format("{:.0f} min", minutes);
    if (minutes == 0.0) return fmt::format("{:.0f} h", hours);
    return fmt::format("{:.0f} h {:.0f} min", hours, minutes);
}

}  // namespace

std::optional<Units> units_from_name(std::string_view name) noexcept {
    if (name == "metric") return Units{TemperatureUnit::celsius, LengthUnit::metric};
    if (name == "us") return Units{TemperatureUnit::fahrenheit, LengthUnit::inch};
    if (name == "si") return Units{TemperatureUnit::kelvin, LengthUnit::metric};
    return std::nullopt;
}

std::string_view temperature_symbol(const Units& units) noexcept {
    switch (units.temperature) {
        case TemperatureUnit::celsius:
            return "°C";
        case TemperatureUnit::fahrenheit:
            return "°F";
        case TemperatureUnit::kelvin:
            break;
    }
    return "K";
}

double temperature_in(double temperature_k, const Units& units) noexcept {
    switch (units.temperature) {
        case TemperatureUnit::celsius:
            return kelvin_to_celsius(temperature_k);
        case TemperatureUnit::fahrenheit:
            return kelvin_to_fahrenheit(temperature_k);
        case TemperatureUnit::kelvin:
            break;
    }
    return temperature_k;
}

double temperature_difference_in(double difference_k, const Units& units) noexcept {
    return fahrenheit(units) ? difference_k * 1.8 : difference_k;
}

std::string format_temperature(double temperature_k, const Units& units, int decimals) {
    return with_unit(temperature_in(temperature_k, units), decimals, temperature_symbol(units));
}

std::string format_temperature_difference(double difference_k, const Units& units, int decimals) {
    return with_unit(temperature_difference_in(difference_k, units), decimals, difference_symbol(units));
}

std::string format_heating_rate(double rate_k_per_s, const Units& units, int decimals) {
    const double rate_per_min = temperature_difference_in(rate_k_per_s, units) * kSecondPerMinute;
    return with_unit(rate_per_min, decimals, fmt::format("{}/min", difference_symbol(units)));
}

std::string format_duration(double time_s) {
    if (!std::isfinite(time_s)) return std::string(kNotAvailable);
    const double whole_s = std::round(std::abs(time_s));
    const std::string sign = time_s < 0.0 && whole_s > 0.0 ? "-" : "";
    if (whole_s < 2.0 * kSecondPerMinute) return fmt::format("{}{:.0f} s", sign, whole_s);
    return sign + minutes_text(std::round(seconds_to_minutes(std::abs(time_s))));
}

std::string format_minutes(double time_s, int decimals) { return with_unit(seconds_to_minutes(time_s), decimals, "min"); }

std::string format_thickness(double length_m, const Units& units) {
    const bool film = std::abs(length_m) < kFilmM;
    if (units.length == LengthUnit::inch) {
        const double length_in = length_m / kMetrePerInch;
        return film ? with_unit(length_in * 1000.0, 1, "mil") : with_unit(length_in, 3, "in");
    }
    return film ? with_unit(length_m * 1e6, 0, "µm") : with_unit_one_or_two(length_m * 1000.0, "mm");
}

std::string format_area(double area_m2, const Units& units) {
    if (units.length == LengthUnit::inch) return with_unit(area_m2 / kSquareFootM2, 1, "ft2");
    return with_unit(area_m2, 1, "m2");
}

}  // namespace bakewright
