// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <stdexcept>
#include <string>
#include <string_view>

#include "bakewright/base/error.hpp"
#include "bakewright/base/gauge.hpp"

namespace bakewright {

/// What a quantity written by a person measures. Each has one SI unit in which it is stored.
enum class Dimension {
    temperature,             ///< a point on the scale [K]: "60 degC", "140 degF", "333.15 K"
    temperature_difference,  ///< [K]: "15 K", "15 degC", "27 degF" (no 32 in a difference)
    time,                    ///< [s]: "45 min", "1 h 20 min", "90 s"
    length,                  ///< [m]: "1.2 mm", "3/16 in", "18 gauge", "100 um", "4 mil", "36 ft 2 in"
    area,                    ///< [m2]: "12 m2", "130 ft2"
    volume,                  ///< [m3]: "300 m3", "40 l"
    mass,                    ///< [kg]: "35 kg", "12 lb"
    speed,                   ///< [m/s]: "0.5 m/s", "100 ft/min"
    power,                   ///< [W]: "150 kW", "500000 BTU/h"
    heating_rate,            ///< [K/s]: "1.5 K/min", "2 degF/min"
    density,                 ///< [kg/m3]
    specific_heat,           ///< [J/(kg K)]: "470 J/kgK"
    conductivity,            ///< [W/(m K)]: "50 W/mK"
    film_coefficient,        ///< [W/(m2 K)]: "5 W/m2K"
    conductance,             ///< [W/K]: "20 W/K"
    thermal_resistance,      ///< area times K per W [m2 K/W]: "0.18 m2K/W"
    heat_capacity,           ///< [J/K]: "5 kJ/K"
    areal_heat_capacity,     ///< of a square metre [J/(m2 K)]: "8 kJ/m2K"
    heat_flux,               ///< [W/m2]
    volume_flow,             ///< [m3/s]: "2 m3/s", "4000 m3/h"
    air_change_rate,         ///< [1/s]: "4 per h"
    activation_energy        ///< [J/mol]: "55 kJ/mol"
};

/// Why a text is not a quantity of the dimension asked for. what() is one sentence that names the text and what is accepted;
/// callers add file, line and key (see InputError).
class QuantityError : public std::runtime_error {
public:
    using std::runtime_error::runtime_error;
};

/// Reads a quantity with its unit and returns it in SI. Several parts of one dimension add up ("1 h 20 min").
/// A bare number is refused, and so is a number that is not finite or a temperature below absolute zero; any other sign is left
/// to the caller, who knows what is allowed. Case matters only where SI makes it matter (m and M; K). Units are products and
/// quotients of the known ones, in any spelling: "W/m2K", "W/(m²·K)", "W m-2 K-1". Fractions: "3/16 in", "1 1/2 in".
/// @param series  the gauge table for lengths such as "18 gauge"; GaugeSeries::none refuses the word
/// @throws QuantityError
[[nodiscard]] double parse_quantity(std::string_view text, Dimension dimension, GaugeSeries series = GaugeSeries::none);

/// Examples of what is accepted, for messages: "a length with a unit, such as \"1.2 mm\", \"3/16 in\" or \"18 gauge\"".
[[nodiscard]] std::string accepted_forms(Dimension dimension);

/// The quantity as SI text that parse_quantity reads back to the same double: "0.0012 m", "333.15 K".
[[nodiscard]] std::string si_text(double value, Dimension dimension);

/// What is wrong with a quantity that is out of its range, in the unit that was written: "is 572 degF, accepted is 68 to 482
/// degF". A bound that would be an unreadable number in that unit ("0.0167 min") is told in another one of the dimension.
/// @param written  as the user wrote it; parse_quantity() reads it
[[nodiscard]] std::string out_of_range_text(const OutOfRange& range, Dimension dimension, std::string_view written);
/// What is accepted alone: "68 to 482 degF".
[[nodiscard]] std::string accepted_range_text(const OutOfRange& range, Dimension dimension, std::string_view written);

}  // namespace bakewright
