// SPDX-License-Identifier: Apache-2.0
#include "bakewright/base/format.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "bakewright/base/units.hpp"

using namespace bakewright;

namespace {

const Units kMetric{TemperatureUnit::celsius, LengthUnit::metric};
const Units kUs{TemperatureUnit::fahrenheit, LengthUnit::inch};
const Units kSi{TemperatureUnit::kelvin, LengthUnit::metric};
constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
constexpr double kInfinite = std::numeric_limits<double>::infinity();

}  // namespace

TEST_CASE("the scales of temperature meet at their defined points") {
    // Source: NIST SP 811 (2008), B.8: t/degF = 1.8 t/degC + 32 and T/K = t/degC + 273.15, exact. Tolerance: rounding of 3e-14 K.
    CHECK(celsius_to_kelvin(0) == 273.15);
    CHECK(std::abs(fahrenheit_to_kelvin(32) - 273.15) <= 1e-12);
    CHECK(std::abs(fahrenheit_to_kelvin(212) - 373.15) <= 1e-12);
    CHECK(std::abs(fahrenheit_to_kelvin(-40) - celsius_to_kelvin(-40)) <= 1e-12);
    CHECK(std::abs(kelvin_to_fahrenheit(333.15) - 140) <= 1e-12);
}

TEST_CASE("a set of units is chosen by name") {
    CHECK(units_from_name("metric")->temperature == TemperatureUnit::celsius);
    CHECK(units_from_name("us")->temperature == TemperatureUnit::fahrenheit);
    CHECK(units_from_name("us")->length == LengthUnit::inch);
    CHECK(units_from_name("si")->temperature == TemperatureUnit::kelvin);
    CHECK_FALSE(units_from_name("imperial"));
    CHECK_FALSE(units_from_name(""));
}

TEST_CASE("a temperature is printed in the user's scale") {
    CHECK(format_temperature(335.15, kMetric) == "62.0 °C");
    CHECK(format_temperature(333.15, kUs, 0) == "140 °F");
    CHECK(format_temperature(333.15, kSi, 2) == "333.15 K");
    CHECK(temperature_symbol(kUs) == "°F");
    CHECK(std::abs(temperature_in(333.15, kUs) - 140) <= 1e-12);
}

TEST_CASE("a difference of temperature carries no 32") {
    CHECK(format_temperature_difference(1.5, kMetric) == "1.5 K");
    CHECK(format_temperature_difference(1.5, kUs) == "2.7 °F");
    CHECK(format_temperature_difference(-3, kSi) == "-3.0 K");
    CHECK(temperature_difference_in(10, kUs) == 18);
}

TEST_CASE("a heating rate is printed by the minute") {
    CHECK(format_heating_rate(0.025, kMetric) == "1.5 K/min");
    CHECK(format_heating_rate(0.025, kUs) == "2.7 °F/min");
}

TEST_CASE("a value that is not finite is never printed as a number") {
    for (const double value : {kNan, kInfinite, -kInfinite}) {
        CHECK(format_temperature(value, kMetric) == "n/a");
        CHECK(format_temperature_difference(value, kUs) == "n/a");
        CHECK(format_heating_rate(value, kUs) == "n/a");
        CHECK(format_duration(value) == "n/a");
        CHECK(format_minutes(value) == "n/a");
        CHECK(format_thickness(value, kMetric) == "n/a");
        CHECK(format_thickness(value, kUs) == "n/a");
        CHECK(format_area(value, kMetric) == "n/a");
    }
}

TEST_CASE("nothing is printed as minus zero") {
    CHECK(format_temperature(273.14, kMetric) == "0.0 °C");
    CHECK(format_temperature_difference(-0.01, kMetric) == "0.0 K");
    CHECK(format_duration(-0.4) == "0 s");
}

TEST_CASE("a duration is printed in whole seconds, minutes and hours") {
    CHECK(format_duration(0) == "0 s");
    CHECK(format_duration(38.4) == "38 s");
    CHECK(format_duration(119) == "119 s");
    CHECK(format_duration(119.6) == "2 min");
    CHECK(format_duration(2700) == "45 min");
    CHECK(format_duration(3569) == "59 min");
    CHECK(format_duration(3571) == "1 h");
    CHECK(format_duration(4800) == "1 h 20 min");
    CHECK(format_duration(36000) == "10 h");
    CHECK(format_duration(-4800) == "-1 h 20 min");
    CHECK(format_minutes(738) == "12.3 min");
}

TEST_CASE("a sheet is printed in millimetres or inches, a film in micrometres or mils") {
    CHECK(format_thickness(0.0012, kMetric) == "1.2 mm");
    CHECK(format_thickness(0.0012147, kMetric) == "1.21 mm");
    CHECK(format_thickness(0.025, kMetric) == "25.0 mm");
    CHECK(format_thickness(0.0012, kUs) == "0.047 in");
    CHECK(format_thickness(100e-6, kMetric) == "100 µm");
    CHECK(format_thickness(100e-6, kUs) == "3.9 mil");
    CHECK(format_thickness(0, kMetric) == "0 µm");
}

TEST_CASE("an area is printed in square metres or square feet") {
    // Source: NIST SP 811 (2008), B.8: 1 ft2 = 9.290304e-2 m2, exact; 12 m2 are 129.17 ft2.
    CHECK(format_area(12, kMetric) == "12.0 m2");
    CHECK(format_area(12, kUs) == "129.2 ft2");
    CHECK(format_area(0.09290304, kUs) == "1.0 ft2");
}

TEST_CASE("titles stand in place of places, and words that read like a name stay") {
    Phrase phrase = Phrase("film of zone ").add_place("film").add(" against ").add(Phrase::place("roof"));
    CHECK(phrase.text() == "film of zone film against roof");
    phrase.rename_places([](const std::string& name) { return name == "film" ? "inner film" : name; });
    CHECK(phrase.text() == "film of zone inner film against roof");
    CHECK(phrase != Phrase("film of zone inner film against roof"));  // the same words, but no place in them
    CHECK(Phrase("").parts().empty());
}
