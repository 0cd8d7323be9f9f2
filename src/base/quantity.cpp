// SPDX-License-Identifier: Apache-2.0
#include "bakewright/base/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <system_error>

#include "bakewright/base/error.hpp"
#include "bakewright/base/units.hpp"
#include "bakewright/base/words.hpp"
#include "plain_text.hpp"
#include "unit_expression.hpp"

namespace bakewright {
namespace {

std::size_t digit_count(std::string_view text) { return std::min(text.find_first_not_of("0123456789"), text.size()); }

std::optional<long> take_integer(std::string_view& text) {
    constexpr std::size_t kMostDigits = 9;
    const std::size_t digits = digit_count(text);
    if (digits == 0 || digits > kMostDigits) return std::nullopt;
    long value = 0;
    std::from_chars(text.data(), text.data() + digits, value);
    text.remove_prefix(digits);
    return value;
}

struct Fraction {
    long numerator;
    long denominator;
};

/// "3/16"; takes nothing off where no such pair stands, as in "1/h".
std::optional<Fraction> take_fraction(std::string_view& text) {
    std::string_view rest = text;
    const auto numerator = take_integer(rest);
    if (!numerator || !rest.starts_with('/')) return std::nullopt;
    rest.remove_prefix(1);
    const auto denominator = take_integer(rest);
    if (!denominator) return std::nullopt;
    if (*denominator == 0) throw Refusal("divides by zero");
    text = rest;
    return Fraction{*numerator, *denominator};
}

/// The fraction of "1 1/2" or "1-1/2", behind its whole number.
std::optional<Fraction> take_mixed_fraction(std::string_view& text) {
    std::string_view rest = text;
    if (!rest.starts_with(' ') && !rest.starts_with('-')) return std::nullopt;
    rest.remove_prefix(std::max<std::size_t>(1, std::min(rest.find_first_not_of(' '), rest.size())));
    const auto fraction = take_fraction(rest);
    if (!fraction) return std::nullopt;
    if (fraction->numerator >= fraction->denominator) throw Refusal("has a fraction that is not smaller than 1");
    text = rest;
    return fraction;
}

double take_decimal(std::string_view& text) {
    double value = 0.0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error == std::errc::result_out_of_range) throw Refusal("has a number out of range");
    if (error != std::errc{}) throw Refusal("does not start with a number");
    text.remove_prefix(static_cast<std::size_t>(end - text.data()));
    if (text.starts_with(','))
        throw Refusal("has a comma in its number; the decimal sign is a point, and thousands stand together");
    return value;
}

/// Reads an unsigned number at the start of a plain text and takes it off: "12", "1.5", "1e-4", "3/16", "1 1/2", "1-1/2".
/// @throws Refusal (unit_expression.hpp) where no finite number stands there
[[nodiscard]] double take_number(std::string_view& text) {
    while (text.starts_with(' ')) text.remove_prefix(1);
    const bool starts_well = !text.empty() && (is_digit(text[0]) || (text[0] == '.' && text.size() > 1 && is_digit(text[1])));
    if (!starts_well) throw Refusal("does not start each part with a number");
    if (const auto fraction = take_fraction(text)) {
        return static_cast<double>(fraction->numerator) / static_cast<double>(fraction->denominator);
    }
    const std::size_t digits = digit_count(text);
    const std::string_view before = text;
    const double whole = take_decimal(text);
    const bool integer = before.size() - text.size() == digits;
    const auto fraction = integer ? take_mixed_fraction(text) : std::nullopt;
    if (!fraction) return whole;
    return whole + static_cast<double>(fraction->numerator) / static_cast<double>(fraction->denominator);
}

struct DimensionFacts {
    Dimension dimension;
    std::string_view noun;
    std::string_view examples;
    std::string_view si_unit;
    Powers powers;
    bool compound = false;  ///< "1 h 20 min" has a meaning
};

/// Examples of a length where the material is sold by gauge.
constexpr std::string_view kLengthOrGauge = R"("1.2 mm", "3/16 in" or "18 gauge")";

/// For bounds that are no readable number in the unit that was written.
constexpr std::array<std::string_view, 4> kTimeUnits{"s", "min", "h", "d"};
constexpr std::array<std::string_view, 4> kLengthUnits{"um", "mm", "m", "km"};

constexpr std::array kDimensions = {
    DimensionFacts{Dimension::temperature, "a temperature", R"~("60 degC", "140 degF" or "333.15 K")~", "K", {.temperature = 1}},
    DimensionFacts{
        Dimension::temperature_difference, "a temperature difference", R"~("15 K" or "27 degF")~", "K", {.temperature = 1}},
    DimensionFacts{Dimension::time, "a time", R"~("45 min", "1 h 20 min" or "90 s")~", "s", {.time = 1}, true},
    DimensionFacts{Dimension::length, "a length", R"~("1.2 mm" or "3/16 in")~", "m", {.length = 1}, true},
    DimensionFacts{Dimension::area, "an area", R"~("12 m2" or "130 ft2")~", "m2", {.length = 2}},
    DimensionFacts{Dimension::volume, "a volume", R"~("300 m3", "40 l" or "10 ft3")~", "m3", {.length = 3}},
    DimensionFacts{Dimension::mass, "a mass", R"~("35 kg" or "12 lb")~", "kg", {.mass = 1}, true},
    DimensionFacts{Dimension::speed, "a speed", R"~("0.5 m/s" or "100 ft/min")~", "m/s", {.length = 1, .time = -1}},
    DimensionFacts{Dimension::power, "a power", R"~("150 kW" or "500000 BTU/h")~", "W", {.length = 2, .mass = 1, .time = -3}},
    DimensionFacts{
        Dimension::heating_rate, "a heating rate", R"~("1.5 K/min" or "2 degF/min")~", "K/s", {.time = -1, .temperature = 1}},
    DimensionFacts{Dimension::density, "a density", R"~("7850 kg/m3" or "490 lb/ft3")~", "kg/m3", {.length = -3, .mass = 1}},
    DimensionFacts{Dimension::specific_heat,
                   "a specific heat",
                   R"~("470 J/kgK" or "0.11 BTU/(lb degF)")~",
                   "J/(kg K)",
                   {.length = 2, .time = -2, .temperature = -1}},
    DimensionFacts{Dimension::conductivity,
                   "a thermal conductivity",
                   R"~("50 W/mK" or "29 BTU/(h ft degF)")~",
                   "W/(m K)",
                   {.length = 1, .mass = 1, .time = -3, .temperature = -1}},
    DimensionFacts{Dimension::film_coefficient,
                   "a film coefficient",
                   R"~("5 W/m2K" or "0.9 BTU/(h ft2 degF)")~",
                   "W/(m2 K)",
                   {.mass = 1, .time = -3, .temperature = -1}},
    DimensionFacts{Dimension::conductance,
                   "a thermal conductance",
                   R"~("20 W/K" or "38 BTU/(h degF)")~",
                   "W/K",
                   {.length = 2, .mass = 1, .time = -3, .temperature = -1}},
    DimensionFacts{Dimension::thermal_resistance,
                   "a thermal resistance of an area",
                   R"("0.18 m2K/W" or "1 h ft2 degF/BTU")",
                   "m2 K/W",
                   {.mass = -1, .time = 3, .temperature = 1}},
    DimensionFacts{Dimension::heat_capacity,
                   "a heat capacity",
                   R"~("5 kJ/K" or "3 BTU/degF")~",
                   "J/K",
                   {.length = 2, .mass = 1, .time = -2, .temperature = -1}},
    DimensionFacts{Dimension::areal_heat_capacity,
                   "a heat capacity of a square metre",
                   R"~("8 kJ/m2K" or "0.4 BTU/(ft2 degF)")~",
                   "J/m2K",
                   {.mass = 1, .time = -2, .temperature = -1}},
    DimensionFacts{Dimension::heat_flux, "a heat flux", R"~("800 W/m2" or "250 BTU/(h ft2)")~", "W/m2", {.mass = 1, .time = -3}},
    DimensionFacts{
        Dimension::volume_flow, "a volume flow", R"~("2 m3/s", "4000 m3/h" or "9000 cfm")~", "m3/s", {.length = 3, .time = -1}},
    DimensionFacts{Dimension::air_change_rate, "an air-change rate", R"~("4 per h" or "0.5 per min")~", "per s", {.time = -1}},
    DimensionFacts{Dimension::activation_energy,
                   "an activation energy",
                   R"~("55 kJ/mol" or "13 kcal/mol")~",
                   "J/mol",
                   {.length = 2, .mass = 1, .time = -2, .amount = -1}},
};

const DimensionFacts& facts_of(Dimension dimension) {
    for (const DimensionFacts& facts : kDimensions)
        if (facts.dimension == dimension) return facts;
    throw PromiseError("broken promise: every dimension has its facts");
}

std::string forms(const DimensionFacts& facts, bool with_gauge) {
    return fmt::format("{} with a unit, such as {}", facts.noun, with_gauge ? kLengthOrGauge : facts.examples);
}

double point_k(double value, Scale scale) {
    switch (scale) {
        case Scale::celsius:
            return celsius_to_kelvin(value);
        case Scale::fahrenheit:
            return fahrenheit_to_kelvin(value);
        case Scale::kelvin:
            return value;
        case Scale::none:
            break;
    }
    throw Refusal("is not a temperature");
}

/// A point no lower than absolute zero. -459.67 degF is that zero, but its conversion leaves a rounding error.
double checked_point_k(double value, Scale scale) {
    constexpr double kRoundingK = 1e-9;
    const double temperature_k = point_k(value, scale);
    if (temperature_k < -kRoundingK) throw Refusal("lies below absolute zero (-273.15 degC)");
    return std::abs(temperature_k) <= kRoundingK && scale != Scale::kelvin ? 0.0 : temperature_k;
}

bool take_gauge_word(std::string_view& rest) {
    std::string_view word = rest;
    while (word.starts_with(' ') || word.starts_with('-')) word.remove_prefix(1);
    while (word.ends_with('.') || word.ends_with(' ')) word.remove_suffix(1);
    const bool gauge = word.size() <= 5 && (starts_with_word(word, "gauge") || starts_with_word(word, "gage") ||
                                            (word.size() == 2 && starts_with_word(word, "ga")));
    if (gauge) rest = {};
    return gauge;
}

double gauge_m(double number, GaugeSeries series) {
    if (series == GaugeSeries::none) throw Refusal("is a gauge, but this is not sold by gauge");
    const bool whole = number == std::floor(number) && std::abs(number) < 1000.0;
    const auto thickness_m = whole ? gauge_thickness_m(series, static_cast<int>(number)) : std::nullopt;
    if (!thickness_m) throw Refusal(fmt::format("is not a gauge number of {}", word_of(series)));
    return *thickness_m;
}

/// Reads the numbers and units of one text, from the left.
class QuantityReader {
public:
    QuantityReader(std::string_view plain, const DimensionFacts& facts, GaugeSeries series)
        : rest_(plain), facts_(facts), series_(series) {}

    double read() {
        skip_spaces();
        const bool negative = take_sign();
        if (rest_.empty()) throw Refusal("holds no number");
        double sum = read_part(negative);
        while (skip_spaces(), !rest_.empty()) sum += read_part(negative);
        if (!std::isfinite(sum)) throw Refusal("is too large");
        return sum;
    }

private:
    void skip_spaces() { rest_.remove_prefix(std::min(rest_.find_first_not_of(' '), rest_.size())); }

    bool take_sign() {
        const bool negative = rest_.starts_with('-');
        if (negative || rest_.starts_with('+')) rest_.remove_prefix(1);
        return negative;
    }

    double read_part(bool negative) {
        const double magnitude = take_number(rest_);
        const double value = negative ? -magnitude : magnitude;
        if (facts_.dimension == Dimension::length && take_gauge_word(rest_)) return read_gauge(value);
        skip_spaces();
        if (rest_.empty()) throw Refusal("has no unit");
        if (facts_.dimension == Dimension::time && take_minute_mark()) return value * kSecondPerMinute;
        const UnitExpression unit = take_unit(rest_);
        check(unit);
        if (facts_.dimension == Dimension::temperature) return checked_point_k(value, unit.scale);
        return value * unit.numerator / unit.denominator;
    }

    /// 45' on a work order is 45 minutes; of a length it is feet.
    bool take_minute_mark() {
        if (!rest_.starts_with("'") || part_count_ > 0) return false;
        rest_.remove_prefix(1);
        ++part_count_;
        last_size_ = kSecondPerMinute;
        return true;
    }

    double read_gauge(double number) {
        if (part_count_ > 0) throw Refusal("adds a gauge to a length");
        return gauge_m(number, series_);
    }

    void check(const UnitExpression& unit) {
        if (unit.powers != facts_.powers)
            throw Refusal(fmt::format("has the unit {}, which does not measure {}", in_quotes(unit.text), facts_.noun));
        const double size = unit.numerator / unit.denominator;
        if (part_count_++ > 0) {
            if (!facts_.compound) throw Refusal("holds more than one number");
            if (size >= last_size_) throw Refusal("does not go from larger to smaller units");
        }
        last_size_ = size;
    }

    std::string_view rest_;
    const DimensionFacts& facts_;
    GaugeSeries series_;
    int part_count_ = 0;
    double last_size_ = std::numeric_limits<double>::infinity();
};

/// The unit of the first number of a text with a number; the SI unit where it has none of its own, as a gauge.
UnitExpression unit_written(std::string_view written, const DimensionFacts& facts) {
    const auto unit_of = [](const std::string& text) {
        std::string_view rest = text;
        while (rest.starts_with(' ') || rest.starts_with('-') || rest.starts_with('+')) rest.remove_prefix(1);
        static_cast<void>(take_number(rest));
        while (rest.starts_with(' ')) rest.remove_prefix(1);
        return take_unit(rest);
    };
    try {
        UnitExpression unit = unit_of(plain_text(written));
        if (unit.powers == facts.powers) return unit;
    } catch (const Refusal&) {
    }
    return unit_of(fmt::format("1 {}", facts.dimension == Dimension::length ? "mm" : facts.si_unit));
}

double number_in(double value, const UnitExpression& unit, const DimensionFacts& facts) {
    if (facts.dimension != Dimension::temperature) return value * unit.denominator / unit.numerator;
    if (unit.scale == Scale::celsius) return kelvin_to_celsius(value);
    return unit.scale == Scale::fahrenheit ? kelvin_to_fahrenheit(value) : value;
}

struct BoundText {
    std::string number, unit;
    [[nodiscard]] std::string whole() const { return number + " " + unit; }
};

BoundText bound_text(double value, const UnitExpression& unit, const DimensionFacts& facts) {
    // Of a time there is always a smaller unit that reads better: 1 s for 0.0167 min.
    const double smallest = facts.dimension == Dimension::time ? 0.1 : 0.01;
    constexpr double kLargest = 1e5;
    const auto text = [&](double number, const std::string& name) {
        return BoundText{fmt::format("{:.6g}", std::abs(number) < 1e-9 ? 0.0 : number), name};
    };
    const double number = number_in(value, unit, facts);
    const bool is_readable = std::abs(number) < 1e-9 || (std::abs(number) >= smallest && std::abs(number) < kLargest);
    if (is_readable || facts.dimension == Dimension::temperature) return text(number, unit.text);
    for (const std::string_view other : facts.dimension == Dimension::time ? kTimeUnits : kLengthUnits) {
        const UnitExpression tried = unit_written(fmt::format("1 {}", other), facts);
        const double there = number_in(value, tried, facts);
        if (tried.text == other && there >= 1.0 && there < 1000.0) return text(there, tried.text);
    }
    return text(number, unit.text);
}

/// As the user wrote it, on one line and not without end.
std::string printed(std::string_view written) {
    const std::string shown = in_quotes(written);
    return shown.substr(1, shown.size() - 2);
}

}  // namespace

double parse_quantity(std::string_view text, Dimension dimension, GaugeSeries series) {
    constexpr std::size_t kLongest = 200;
    const DimensionFacts& facts = facts_of(dimension);
    try {
        if (text.size() > kLongest) throw Refusal("is too long");
        const std::string plain = plain_text(text);
        return QuantityReader(plain, facts, series).read();
    } catch (const Refusal& refusal) {
        const bool with_gauge = dimension == Dimension::length && series != GaugeSeries::none;
        throw QuantityError(fmt::format("{} {}; write {}", in_quotes(text), refusal.what(), forms(facts, with_gauge)));
    }
}

std::string accepted_forms(Dimension dimension) { return forms(facts_of(dimension), dimension == Dimension::length); }

std::string si_text(double value, Dimension dimension) {
    ensure(std::isfinite(value), "a quantity written as text is finite");
    return fmt::format("{} {}", value, facts_of(dimension).si_unit);
}

std::string accepted_range_text(const OutOfRange& range, Dimension dimension, std::string_view written) {
    const DimensionFacts& facts = facts_of(dimension);
    const UnitExpression unit = unit_written(written, facts);
    const bool has_least = std::isfinite(range.least), has_most = std::isfinite(range.most);
    if (!has_least) return "up to " + bound_text(range.most, unit, facts).whole();
    const BoundText least = bound_text(range.least, unit, facts);
    if (!has_most) return range.above_least ? "more than " + least.whole() : least.whole() + " or more";
    const BoundText most = bound_text(range.most, unit, facts);
    const std::string from = least.unit == most.unit ? least.number : least.whole();
    return range.above_least ? fmt::format("more than {}, up to {}", from, most.whole())
                             : fmt::format("{} to {}", from, most.whole());
}

std::string out_of_range_text(const OutOfRange& range, Dimension dimension, std::string_view written) {
    return fmt::format("is {}{}accepted is {}", printed(written), range.why.empty() ? ", " : ", " + range.why + "; ",
                       accepted_range_text(range, dimension, written));
}

}  // namespace bakewright
