#include "decimal_form.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>

#include "bakewright/base/units.hpp"

namespace bakewright::book {
namespace {

constexpr std::array<double, kMostDecimals + 1> kPowers = {1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6};
/// Whole numbers up to here are doubles, so that dividing one by a power of ten rounds once: to what the text is read as.
constexpr double kLargestWhole = 9007199254740992.0;

double to_si(WrittenUnit unit, double number) noexcept {
    switch (unit) {
        case WrittenUnit::kelvin:
        case WrittenUnit::second:
            return number;
        case WrittenUnit::celsius:
            return celsius_to_kelvin(number);
        case WrittenUnit::fahrenheit:
            return fahrenheit_to_kelvin(number);
        case WrittenUnit::minute:
            return minutes_to_seconds(number);
        case WrittenUnit::hour:
            return number * kSecondPerHour;
    }
    return number;
}

double from_si(WrittenUnit unit, double value) noexcept {
    switch (unit) {
        case WrittenUnit::kelvin:
        case WrittenUnit::second:
            return value;
        case WrittenUnit::celsius:
            return kelvin_to_celsius(value);
        case WrittenUnit::fahrenheit:
            return kelvin_to_fahrenheit(value);
        case WrittenUnit::minute:
            return value / kSecondPerMinute;
        case WrittenUnit::hour:
            return value / kSecondPerHour;
    }
    return value;
}

/// False where the value does not come back.
bool take(const DecimalForm& form, double value, std::int64_t& whole) {
    const double rounded = std::nearbyint(from_si(form.unit, value) * kPowers[static_cast<std::size_t>(form.decimals)]);
    if (!(std::abs(rounded) <= kLargestWhole)) return false;
    whole = static_cast<std::int64_t>(rounded);
    return std::bit_cast<std::uint64_t>(form.value(whole)) == std::bit_cast<std::uint64_t>(value);
}

bool take_all(const DecimalForm& form, std::span<const double> values, std::vector<std::int64_t>& whole) {
    for (std::size_t i = 0; i < values.size(); ++i)
        if (!std::isnan(values[i]) && !take(form, values[i], whole[i])) return false;
    return true;
}

}  // namespace

double DecimalForm::value(std::int64_t whole) const noexcept {
    return to_si(unit, static_cast<double>(whole) / kPowers[static_cast<std::size_t>(decimals)]);
}

std::optional<Decimals> decimals_of(std::span<const double> values, std::span<const WrittenUnit> units) {
    Decimals found{{}, std::vector<std::int64_t>(values.size(), 0)};
    for (found.form.decimals = 0; found.form.decimals <= kMostDecimals; ++found.form.decimals)
        for (const WrittenUnit unit : units) {
            found.form.unit = unit;
            if (take_all(found.form, values, found.whole)) return found;
        }
    return std::nullopt;
}

}  // namespace bakewright::book
