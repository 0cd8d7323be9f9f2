// SPDX-License-Identifier: Apache-2.0
#include "bakewright/base/quantity.hpp"

#include <doctest/doctest.h>

#include <array>
#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>
#include <random>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/error.hpp"

using namespace bakewright;

namespace {

constexpr std::array kDimensions = {Dimension::temperature,
                                    Dimension::temperature_difference,
                                    Dimension::time,
                                    Dimension::length,
                                    Dimension::area,
                                    Dimension::volume,
                                    Dimension::mass,
                                    Dimension::speed,
                                    Dimension::power,
                                    Dimension::heating_rate,
                                    Dimension::density,
                                    Dimension::specific_heat,
                                    Dimension::conductivity,
                                    Dimension::film_coefficient,
                                    Dimension::conductance,
                                    Dimension::thermal_resistance,
                                    Dimension::heat_capacity,
                                    Dimension::heat_flux,
                                    Dimension::volume_flow,
                                    Dimension::air_change_rate,
                                    Dimension::activation_energy};

struct Written {
    Dimension dimension;
    std::string_view text;
    double si;
};

void check_all(const std::vector<Written>& rows, double relative_tolerance) {
    for (const Written& row : rows) {
        CAPTURE(row.text);
        double parsed = std::numeric_limits<double>::quiet_NaN();
        REQUIRE_NOTHROW(parsed = parse_quantity(row.text, row.dimension));
        CHECK(std::abs(parsed - row.si) <= relative_tolerance * std::abs(row.si));
    }
}

void check_same(Dimension dimension, const std::vector<std::string_view>& texts) {
    const double first = parse_quantity(texts.front(), dimension);
    for (const std::string_view text : texts) {
        CAPTURE(text);
        double parsed = std::numeric_limits<double>::quiet_NaN();
        REQUIRE_NOTHROW(parsed = parse_quantity(text, dimension));
        CHECK(std::abs(parsed - first) <= 1e-14 * std::abs(first));
    }
}

}  // namespace

TEST_CASE("metric lengths are the correctly rounded decimal") {
    // 1.2 / 1000 rounds to the double nearest to 0.0012, a product with 0.001 need not.
    CHECK(parse_quantity("1.2 mm", Dimension::length) == 0.0012);
    CHECK(parse_quantity("100 um", Dimension::length) == 0.0001);
    CHECK(parse_quantity("2.5 cm", Dimension::length) == 0.025);
    CHECK(parse_quantity("12 m", Dimension::length) == 12.0);
}

TEST_CASE("units that are defined exactly convert to their defined value") {
    // Source:    NIST SP 811 (2008), B.8: inch 2.54e-2 m, foot 3.048e-1 m, mil 2.54e-5 m, pound 4.5359237e-1 kg,
    //            BTU_IT 1.05505585262e3 J, thermochemical calorie 4.184 J, US gallon 3.785411784e-3 m3 (231 in3): exact.
    // Tolerance: 1e-15 relative times a few roundings.
    check_all({{Dimension::length, "1 in", 0.0254},
               {Dimension::length, "1 ft", 0.3048},
               {Dimension::length, "4 mil", 1.016e-4},
               {Dimension::area, "1 ft2", 0.09290304},
               {Dimension::area, "1 in2", 6.4516e-4},
               {Dimension::volume, "1 ft3", 0.028316846592},
               {Dimension::volume, "1 gal", 3.785411784e-3},
               {Dimension::volume, "40 l", 0.04},
               {Dimension::mass, "1 lb", 0.45359237},
               {Dimension::mass, "16 oz", 0.45359237},
               {Dimension::time, "1 d", 86400},
               {Dimension::speed, "100 ft/min", 0.508},
               {Dimension::speed, "3.6 km/h", 1.0},
               {Dimension::power, "3600 BTU/h", 1055.05585262},
               {Dimension::power, "150 kW", 150000},
               {Dimension::heating_rate, "1.5 K/min", 0.025},
               {Dimension::heating_rate, "9 degF/min", 5.0 / 60},
               {Dimension::volume_flow, "7200 m3/h", 2},
               {Dimension::volume_flow, "1 cfm", 4.719474432e-4},
               {Dimension::air_change_rate, "36 per h", 0.01},
               {Dimension::activation_energy, "55 kJ/mol", 55000},
               {Dimension::activation_energy, "1 kcal/mol", 4184},
               {Dimension::temperature_difference, "27 degF", 15}},
              4e-15);
}

TEST_CASE("composed heat-transfer units convert as the tables print them") {
    // Source:    NIST SP 811 (2008), B.8 and B.9, rows with BTU_IT, from memory, seven figures.
    // Tolerance: 5e-7 relative, the last figure printed.
    check_all({{Dimension::film_coefficient, "1 BTU/(h ft2 degF)", 5.678263},
               {Dimension::conductivity, "1 BTU/(h ft degF)", 1.730735},
               {Dimension::conductivity, "1 BTU in/(h ft2 degF)", 0.1442279},
               {Dimension::specific_heat, "1 BTU/(lb degF)", 4186.8},
               {Dimension::heat_capacity, "1 BTU/degF", 1899.101},
               {Dimension::thermal_resistance, "1 degF h ft2/BTU", 0.1761102},
               {Dimension::heat_flux, "1 BTU/(h ft2)", 3.154591},
               {Dimension::density, "1 lb/ft3", 16.01846},
               {Dimension::power, "1 BTU/h", 0.2930711}},
              5e-7);
}

TEST_CASE("a temperature is a point on its scale") {
    CHECK(parse_quantity("60 degC", Dimension::temperature) == 333.15);
    CHECK(parse_quantity("333.15 K", Dimension::temperature) == 333.15);
    CHECK(std::abs(parse_quantity("140 degF", Dimension::temperature) - 333.15) <= 1e-12);
    CHECK(std::abs(parse_quantity("-40 degF", Dimension::temperature) - parse_quantity("-40 degC", Dimension::temperature)) <=
          1e-12);
    CHECK(parse_quantity("0 K", Dimension::temperature) == 0.0);
    CHECK(parse_quantity("-273.15 degC", Dimension::temperature) == 0.0);
    CHECK(parse_quantity("-459.67 degF", Dimension::temperature) == 0.0);
}

TEST_CASE("a temperature may be spelled in any usual way") {
    check_same(Dimension::temperature, {"60 °C", "60°C", "60 degC", "60 deg C", "60 C", "60C", "60 celsius", "60 degrees Celsius",
                                        "60 ℃", "60 ºC", " 60\u00a0°C ", "+60 °C", "6e1 °C", "60.0 c"});
    check_same(Dimension::temperature, {"140 °F", "140 degF", "140F", "140 deg. F", "140 Fahrenheit", "140 ℉"});
    check_same(Dimension::temperature, {"-5 °C", "\u22125 °C", "268.15 K", "268.15 kelvin"});
}

TEST_CASE("one unit may be written in many ways") {
    check_same(Dimension::film_coefficient,
               {"5 W/m2K", "5 W/m²K", "5 W/(m2 K)", "5 W/(m²·K)", "5 W/m^2/K", "5 W/m2/K", "5 W/m2 K", "5 W m-2 K-1",
                "5 W·m⁻²·K⁻¹", "5 W/m²·°C", "5 W/(m2*degC)", "5 W per m2 per K", "5 W/(m^2.K)", "5W/m2K"});
    check_same(Dimension::film_coefficient,
               {"1 BTU/(h ft2 degF)", "1 Btu/hr·ft²·°F", "1 BTU/hr-ft2-F", "1 BTU/h/ft2/F", "1 btu/(hr sq ft °F)"});
    check_same(Dimension::conductivity, {"50 W/mK", "50 W/(m K)", "50 W/m/K", "50 W/m·K", "50 W/m°C"});
    check_same(Dimension::specific_heat,
               {"470 J/kgK", "470 J/(kg K)", "0.47 kJ/kgK", "470 J/kg/K", "470 J/kg°C", "470 J kg^-1 K^-1"});
    check_same(Dimension::thermal_resistance, {"0.18 m2K/W", "0.18 m² K/W", "0.18 (m2 K)/W", "0.18 K m2/W"});
    check_same(Dimension::length, {"100 um", "100 µm", "100 μm", "100 microns", "0.1 mm"});
    check_same(Dimension::length, {"2 in", "2 inch", "2 inches", "2\"", "2 IN", "2″", "2 in."});
    check_same(Dimension::length, {"3 ft", "3 feet", "3'", "3′", "3ft"});
    check_same(Dimension::area, {"130 ft2", "130 sq ft", "130 sqft", "130 ft²", "130 ft^2", "130 square feet", "130 sq. ft"});
    check_same(Dimension::volume, {"10 ft3", "10 cu ft", "10 cubic feet", "10 ft³"});
    check_same(Dimension::time, {"2 h", "2 hr", "2 hours", "2H", "120 min", "120 Minutes", "7200 s", "7200 sec"});
    check_same(Dimension::air_change_rate,
               {"4 per h", "4/h", "4 1/h", "4 / hour", "4 h-1", "4 ach", "4 air changes per hour", "4 changes/h"});
    check_same(Dimension::power, {"500000 BTU/h", "500000 BTU/hr", "500 kBTU/h", "500000 Btuh"});
}

TEST_CASE("parts of one quantity add up from larger to smaller units") {
    CHECK(parse_quantity("1 h 20 min", Dimension::time) == 4800);
    CHECK(parse_quantity("1h20min", Dimension::time) == 4800);
    CHECK(parse_quantity("1h2min", Dimension::time) == 3720);
    CHECK(parse_quantity("1 d 2 h 3 min 4 s", Dimension::time) == 93784);
    CHECK(parse_quantity("-1 h 20 min", Dimension::time) == -4800);
    check_all({{Dimension::length, "36 ft 2 in", 434 * 0.0254},
               {Dimension::length, "36' 2\"", 434 * 0.0254},
               {Dimension::length, "36'2\"", 434 * 0.0254},
               {Dimension::length, "7 ft 6 1/2 in", 90.5 * 0.0254},
               {Dimension::mass, "2 lb 8 oz", 2.5 * 0.45359237}},
              4e-15);
}

TEST_CASE("fractions are read as a shop writes them") {
    check_all({{Dimension::length, "3/16 in", 0.1875 * 0.0254},
               {Dimension::length, "3/16\"", 0.1875 * 0.0254},
               {Dimension::length, "1 1/2 in", 1.5 * 0.0254},
               {Dimension::length, "1-1/2 in", 1.5 * 0.0254},
               {Dimension::length, "1½ in", 1.5 * 0.0254},
               {Dimension::length, "¾\"", 0.75 * 0.0254},
               {Dimension::length, "3⁄4 in", 0.75 * 0.0254},
               {Dimension::time, "1 1/2 h", 5400}},
              2e-15);
}

TEST_CASE("a gauge is a length of the material's own series") {
    for (const std::string_view text : {"18 gauge", "18 ga", "18ga", "18 ga.", "18-gauge", "18 Gauge", "18 gage"}) {
        CAPTURE(text);
        CHECK(parse_quantity(text, Dimension::length, GaugeSeries::steel) == *gauge_thickness_m(GaugeSeries::steel, 18));
    }
    CHECK(parse_quantity("18 gauge", Dimension::length, GaugeSeries::aluminium) ==
          *gauge_thickness_m(GaugeSeries::aluminium, 18));
    CHECK(parse_quantity("1.2 mm", Dimension::length, GaugeSeries::steel) == 0.0012);
}

TEST_CASE("every example in a message is accepted") {
    for (const Dimension dimension : kDimensions) {
        const std::string forms = accepted_forms(dimension);
        int examples = 0;
        for (std::size_t open = forms.find('"'); open != std::string::npos; open = forms.find('"', open)) {
            const std::size_t close = forms.find('"', open + 1);
            REQUIRE(close != std::string::npos);
            const std::string example = forms.substr(open + 1, close - open - 1);
            CAPTURE(example);
            CHECK_NOTHROW(static_cast<void>(parse_quantity(example, dimension, GaugeSeries::steel)));
            ++examples;
            open = close + 1;
        }
        CHECK(examples >= 2);
    }
    CHECK(accepted_forms(Dimension::length) == "a length with a unit, such as \"1.2 mm\", \"3/16 in\" or \"18 gauge\"");
}

TEST_CASE("a quantity written as SI text is read back to the same double") {
    std::mt19937_64 random(20240611);  // fixed seed
    for (const Dimension dimension : kDimensions) {
        std::vector<double> values = {0.0,
                                      -0.0,
                                      333.15,
                                      0.1,
                                      1.0 / 3.0,
                                      1e21,
                                      1e-7,
                                      std::numeric_limits<double>::max(),
                                      std::numeric_limits<double>::min(),
                                      std::numeric_limits<double>::denorm_min(),
                                      -1.5e-300};
        for (int i = 0; i < 2000; ++i) values.push_back(std::bit_cast<double>(random()));
        for (double value : values) {
            if (!std::isfinite(value)) continue;
            if (dimension == Dimension::temperature) value = std::abs(value);
            const std::string text = si_text(value, dimension);
            CAPTURE(text);
            CHECK(std::bit_cast<std::uint64_t>(parse_quantity(text, dimension)) == std::bit_cast<std::uint64_t>(value));
        }
    }
    CHECK(si_text(0.0012, Dimension::length) == "0.0012 m");
    CHECK(si_text(333.15, Dimension::temperature) == "333.15 K");
}

namespace {

std::string refusal(std::string_view text, Dimension dimension, GaugeSeries series = GaugeSeries::none) {
    try {
        const double parsed = parse_quantity(text, dimension, series);
        FAIL("taken for ", parsed, ": ", std::string(text));
    } catch (const QuantityError& error) {
        return error.what();
    }
    return {};
}

void check_refused(Dimension dimension, const std::vector<std::string_view>& texts, GaugeSeries series = GaugeSeries::none) {
    for (const std::string_view text : texts) {
        CAPTURE(text);
        CHECK_THROWS_AS(static_cast<void>(parse_quantity(text, dimension, series)), QuantityError);
    }
}

bool holds(const std::string& text, std::string_view part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("a bare number is refused for every dimension") {
    for (int index = 0; index <= static_cast<int>(Dimension::activation_energy); ++index) {
        const auto dimension = static_cast<Dimension>(index);
        for (const std::string_view text : {"12", "0", "-3.5", "1e3", "1/2", "1 1/2", " 12 "}) {
            CAPTURE(text);
            CHECK(holds(refusal(text, dimension), "has no unit"));
        }
    }
}

TEST_CASE("a refusal names the text and what is accepted") {
    CHECK(refusal("12", Dimension::length) ==
          "\"12\" has no unit; write a length with a unit, such as \"1.2 mm\" or \"3/16 in\"");
    CHECK(refusal("12", Dimension::length, GaugeSeries::steel) ==
          "\"12\" has no unit; write a length with a unit, such as \"1.2 mm\", \"3/16 in\" or \"18 gauge\"");
    CHECK(refusal("12 kg", Dimension::time) ==
          "\"12 kg\" has the unit \"kg\", which does not measure a time; write a time with a unit, such as \"45 min\", \"1 h 20 "
          "min\" or \"90 s\"");
    CHECK(holds(refusal("3 bananas", Dimension::mass), "unknown unit \"bananas\""));
    CHECK(holds(refusal("3 custard", Dimension::mass), "unknown unit \"custard\""));
}

TEST_CASE("a unit of another dimension is refused") {
    check_refused(Dimension::temperature, {"60 kg", "60 min", "60 W", "60 K/min", "60 K2"});
    check_refused(Dimension::length, {"12 m2", "12 s", "12 ft2", "12 degC", "5 mmm", "1 m/m"});
    check_refused(Dimension::conductivity, {"5 W/m2K", "5 W/m", "5 W/m2 K-1"});
    check_refused(Dimension::film_coefficient, {"5 W/mK", "5 W/(m2 K) s"});
    check_refused(Dimension::air_change_rate, {"4 changes", "4 h", "4 per m"});
}

TEST_CASE("capitals matter where the SI tells units apart by them") {
    check_refused(Dimension::temperature, {"60 k"});
    check_refused(Dimension::length, {"12 M", "12 MM"});
    check_refused(Dimension::power, {"150 mW", "150 Mw"});
    CHECK(parse_quantity("150 KW", Dimension::power) == 150000);
}

TEST_CASE("a temperature below absolute zero is refused") {
    for (const std::string_view text : {"-1 K", "-273.16 degC", "-459.68 degF", "-1e300 degC", "-1e-6 K"}) {
        CAPTURE(text);
        CHECK(holds(refusal(text, Dimension::temperature), "absolute zero"));
    }
    CHECK(parse_quantity("-300 K", Dimension::temperature_difference) == -300);
}

TEST_CASE("a gauge is refused where the material has none, or not that number") {
    CHECK(holds(refusal("18 gauge", Dimension::length), "not sold by gauge"));
    CHECK_FALSE(holds(refusal("18 gauge", Dimension::length), "18 gauge\" or"));
    CHECK(holds(refusal("2 gauge", Dimension::length, GaugeSeries::steel), "not a gauge number of steel"));
    check_refused(Dimension::length,
                  {"18.5 gauge", "-18 gauge", "1e300 gauge", "1 in 18 gauge", "18 gauge 1 mm", "18 gauges", "18 gas", "gauge"},
                  GaugeSeries::steel);
    check_refused(Dimension::time, {"18 gauge"}, GaugeSeries::steel);
}

TEST_CASE("what is not a finite number is refused") {
    check_refused(Dimension::length, {"nan m",    "inf m",  "-inf m", "infinity m", "NaN",      "1e999 m", "-1e999 m",
                                      "1e-999 m", "0x10 m", "1/0 in", "1 1/0 in",   "1e308 km", "1,5 mm",  "1,000 mm",
                                      "1.2.3 mm", "--1 mm", "+-1 mm", "- m",        ". m",      "e5 m"});
}

TEST_CASE("parts that do not make one quantity are refused") {
    check_refused(Dimension::time,
                  {"20 min 1 h", "1 h 1 h", "1 h 20", "1 h -20 min", "1 h, 20 min", "1 min 1/0 s", "1 h 2/1 min x"});
    check_refused(Dimension::temperature, {"60 degC 5 degC", "60 degC 140 degF"});
    check_refused(Dimension::power, {"1 kW 500 W"});
    check_refused(Dimension::length, {"1 3/2 in", "12 mm thick", "12 mm!"});
}

TEST_CASE("hostile texts are refused and shown without their control characters") {
    const std::string_view nul("1 m\0m", 5);
    check_refused(Dimension::length, {"",
                                      " ",
                                      "\n",
                                      "m",
                                      "mm 1",
                                      "/",
                                      "1 /",
                                      "1 m/",
                                      "1 m^",
                                      "1 m^9",
                                      "1 m^-",
                                      "1 (m",
                                      "1 ()",
                                      "1 m)",
                                      "1 per",
                                      "1 per ",
                                      "1 (((((m",
                                      "1 m**m",
                                      "1 °",
                                      "1 deg",
                                      "1 sq",
                                      "1 m\x1b[31m",
                                      "\xff\xfe",
                                      "1 \xc2",
                                      nul,
                                      "1 m; drop table",
                                      "<script>alert(1)</script>"});
    const std::string message = refusal("1 m\x1b[31m\r\n", Dimension::length);
    for (const char byte : message) CHECK(static_cast<unsigned char>(byte) >= 0x20);
}

TEST_CASE("a huge text is refused at once with a short message") {
    CHECK(refusal(std::string(10'000'000, '1') + " m", Dimension::length).size() < 300);
    CHECK(refusal("1 " + std::string(150, '('), Dimension::length).size() < 300);
    CHECK(refusal("1 " + std::string(190, 'm'), Dimension::length).size() < 400);
}

TEST_CASE("random bytes are either a quantity or refused, never anything else") {
    std::mt19937 random(7);  // fixed seed
    const std::string_view alphabet = "0123456789 ./-+()^'\"*eEmkKCFWJhgslbtinfu\xc2\xb0\xb2\xe2";
    std::uniform_int_distribution<std::size_t> letter(0, alphabet.size() - 1);
    std::uniform_int_distribution<int> length(0, 14);
    for (int round = 0; round < 50000; ++round) {
        std::string text;
        for (int i = length(random); i > 0; --i) text += alphabet[letter(random)];
        const auto dimension = static_cast<Dimension>(round % 21);
        CAPTURE(text);
        double parsed = 0.0;
        try {
            parsed = parse_quantity(text, dimension, GaugeSeries::steel);
        } catch (const QuantityError&) {
        }
        REQUIRE(parsed - parsed == 0.0);  // finite
    }
}

TEST_CASE("a value that is not finite is never written as SI text") {
    CHECK_THROWS_AS(static_cast<void>(si_text(std::numeric_limits<double>::quiet_NaN(), Dimension::length)), PromiseError);
    CHECK_THROWS_AS(static_cast<void>(si_text(std::numeric_limits<double>::infinity(), Dimension::time)), PromiseError);
}
