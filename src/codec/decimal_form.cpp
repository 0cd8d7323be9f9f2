// SPDX-License-Identifier: Apache-2.0
#include "decimal_form.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>

#include "bakewright/base/units.hpp"

namespace bakewright::codec {
namespace {

constexpr std::array<double, kMostDecimals + 1> kPowers = {1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6};

inline double to_si(WrittenUnit unit, double number) noexcept {
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

inline double from_si(WrittenUnit unit, double value) noexcept {
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

/// Whole numbers of amounts up to 2^51 stand in the low bits of a double that this was added to, nearest and even ones first.
constexpr double kShift = 6755399441055744.0;  // 1.5 * 2^52
constexpr double kLargestWhole = 2251799813685248.0;

/// Takes values of which none is missing; false where one does not come back. Without branches, so that it goes by several at a
/// time.
template <WrittenUnit unit>
bool take_numbers(double power, std::span<const double> values, std::uint64_t* whole) {
    std::size_t lost = 0;
    for (std::size_t i = 0; i < values.size(); ++i) {
        const double shifted = from_si(unit, values[i]) * power + kShift;
        const double rounded = shifted - kShift;
        whole[i] = std::bit_cast<std::uint64_t>(shifted) - std::bit_cast<std::uint64_t>(kShift);
        const double back = to_si(unit, rounded / power);
        lost += std::bit_cast<std::uint64_t>(back) != std::bit_cast<std::uint64_t>(values[i]) ? 1 : 0;
        lost += std::abs(rounded) <= kLargestWhole ? 0 : 1;
    }
    return lost == 0;
}

/// The same where some may be missing (NaN): they repeat the number before.
template <WrittenUnit unit>
bool take_some(double power, std::span<const double> values, std::uint64_t* whole, std::uint64_t before) {
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (!std::isnan(values[i]) && !take_numbers<unit>(power, values.subspan(i, 1), &before)) return false;
        whole[i] = before;
    }
    return true;
}

template <WrittenUnit unit>
bool take_all(double power, std::span<const double> values, std::vector<std::uint64_t>& whole) {
    constexpr std::size_t kChunk = 256;  // looked at together: most forms fail at the first
    for (std::size_t from = 0; from < values.size(); from += kChunk) {
        const std::span<const double> chunk = values.subspan(from, std::min(kChunk, values.size() - from));
        if (take_numbers<unit>(power, chunk, &whole[from])) continue;
        if (!take_some<unit>(power, chunk, &whole[from], from > 0 ? whole[from - 1] : 0)) return false;
    }
    return true;
}

bool take_all(const DecimalForm& form, std::span<const double> values, std::vector<std::uint64_t>& whole) {
    const double power = kPowers[static_cast<std::size_t>(form.decimals)];
    switch (form.unit) {
        case WrittenUnit::kelvin:
        case WrittenUnit::second:
            return take_all<WrittenUnit::kelvin>(power, values, whole);
        case WrittenUnit::celsius:
            return take_all<WrittenUnit::celsius>(power, values, whole);
        case WrittenUnit::fahrenheit:
            return take_all<WrittenUnit::fahrenheit>(power, values, whole);
        case WrittenUnit::minute:
            return take_all<WrittenUnit::minute>(power, values, whole);
        case WrittenUnit::hour:
            return take_all<WrittenUnit::hour>(power, values, whole);
    }
    return false;
}

}  // namespace

double DecimalForm::value(std::int64_t whole) const noexcept {
    return to_si(unit, static_cast<double>(whole) / kPowers[static_cast<std::size_t>(decimals)]);
}

std::optional<DecimalForm> decimal_form_of(std::span<const double> values, std::span<const WrittenUnit> units,
                                           std::vector<std::uint64_t>& whole) {
    whole.resize(values.size());
    DecimalForm form;
    for (form.decimals = 0; form.decimals <= kMostDecimals; ++form.decimals)
        for (const WrittenUnit unit : units) {
            form.unit = unit;
            if (take_all(form, values, whole)) return form;
        }
    return std::nullopt;
}

}  // namespace bakewright::codec
