// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/format.hpp"

namespace bakewright::probe {

enum class UnitKind {
    none,
    celsius,
    fahrenheit,
    kelvin,
    millisecond,
    second,
    minute,
    hour,
    day,
    hms,
    minute_second,
    volt,
    millivolt,
    microvolt,
    other
};

[[nodiscard]] std::optional<TemperatureUnit> temperature_unit(UnitKind kind) noexcept;
/// Volts in one of the unit; nothing where it is none of voltage.
[[nodiscard]] std::optional<double> volts_of_one(UnitKind kind) noexcept;
/// Seconds in one of the unit; nothing where it is none of time.
[[nodiscard]] std::optional<double> seconds_of_one(UnitKind kind) noexcept;
[[nodiscard]] bool is_time_unit(UnitKind kind) noexcept;

/// The unit a text is, brackets around it allowed: "°C", "[K]", "(min)", "deg F". The degree sign may have been garbled by a
/// wrong encoding on the way. none where it is no unit known here.
[[nodiscard]] UnitKind unit_kind(std::string_view text);

/// Where a text names a unit of temperature, or something that looks like one.
struct UnitMention {
    std::size_t begin = 0, end = 0;  ///< of it in the text
    UnitKind kind = UnitKind::none;  ///< none: it looks like a unit and is not understood ("°R", "deg"); other: a rate ("°C/min")
    bool certain = false;            ///< false for a letter standing free, which may be a part of a name ("Bay F")
    double scale = 1.0;              ///< of a number in the unit: 0.001 for "m°C"
};

/// Every unit of temperature a text names, wherever it stands: "°F", "*F", "oF", "deg. F", "Degrees Fahrenheit", "(F)", "Temp F".
/// The K of a thermocouple's type ("Type K", "TC K") is none.
/// @param letters_are_labels  a letter standing free tells columns apart, as in "Temp A" to "Temp F"
[[nodiscard]] std::vector<UnitMention> temperature_mentions(std::string_view text, bool letters_are_labels = false);

/// "temp", "temperature" and the like in several languages, in small letters.
[[nodiscard]] bool is_temperature_word(std::string_view word);

/// A heading taken apart. (heading_text.cpp)
struct Heading {
    std::string name;  ///< without the unit
    std::string unit;  ///< as written, without brackets; empty where the heading has none
    UnitKind kind = UnitKind::none;
    double scale = 1.0;       ///< of a number in the unit: 0.001 for "m°C"
    std::string unexplained;  ///< what looks like a unit of temperature and was not understood, or contradicts another one
};

/// Finds a unit at the end of a heading: in brackets ("T1 [C]"), behind a slash or comma with blanks ("T1 / °C", "T1, K"), as a
/// word that can be nothing else ("Roof degC", "Roof °F", "Roof mV"), or joined by an underscore to a word for temperature or
/// time ("air_temp_f", "time_s"); and a unit of temperature anywhere else ("°F avg", "Temp, °F (serial 12)"). A single letter F
/// or K standing free may be a part of the name or the unit: it is named as not explained. A C is the unit that is assumed
/// anyway.
[[nodiscard]] Heading split_heading(std::string_view heading, bool letters_are_labels = false);

/// Letters and digits of a text as lower-case words; a change from small to capital letter starts a word too ("HeatFlux").
[[nodiscard]] std::vector<std::string> words_of(std::string_view text);

}  // namespace bakewright::probe
