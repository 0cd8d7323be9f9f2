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
[[nodiscard]] bool is_time_unit(UnitKind kind) noexcept;

/// The unit a text is, brackets around it allowed: "°C", "[K]", "(min)", "deg F". The degree sign may have been garbled by a
/// wrong encoding on the way. none where it is no unit known here.
[[nodiscard]] UnitKind unit_kind(std::string_view text) noexcept;

/// A heading taken apart.
struct Heading {
    std::string name;  ///< without the unit
    std::string unit;  ///< as written, without brackets; empty where the heading has none
    UnitKind kind = UnitKind::none;
};

/// Finds a unit at the end of a heading: in brackets ("T1 [C]"), behind a slash or comma with blanks ("T1 / °C", "T1, K"), as a
/// word that can be nothing else ("Roof degC", "Roof °F", "Roof mV"), or joined by an underscore to a word for temperature or
/// time
/// ("air_temp_f", "time_s"). A single letter C, F or K standing free is a part of the name ("Probe C", "type K").
[[nodiscard]] Heading split_heading(std::string_view heading);

/// Letters and digits of a text as lower-case words; a change from small to capital letter starts a word too ("HeatFlux").
[[nodiscard]] std::vector<std::string> words_of(std::string_view text);

}  // namespace bakewright::probe
