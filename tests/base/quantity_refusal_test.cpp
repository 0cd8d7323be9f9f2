#include <doctest/doctest.h>

#include <limits>
#include <random>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/error.hpp"
#include "bakewright/base/quantity.hpp"

using namespace bakewright;

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
