// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

namespace bakewright::codec {

/// Units a number may have been written in before it was converted to SI. The numbers are stored: never renumber.
enum class WrittenUnit : std::uint8_t { kelvin = 1, celsius = 2, fahrenheit = 3, second = 4, minute = 5, hour = 6 };

/// Numbers as a person or a logger wrote them: whole numbers of 10^-decimals of a unit.
struct DecimalForm {
    WrittenUnit unit = WrittenUnit::kelvin;
    int decimals = 0;

    /// The SI number that such a text is read as: the nearest double to the decimal, converted. Exact inverse of
    /// decimal_form_of().
    [[nodiscard]] double value(std::int64_t whole) const noexcept;
};

inline constexpr int kMostDecimals = 6;

/// The form, with the fewest decimals, in which every value comes back bit for bit; nothing where there is none.
/// @param whole  becomes the values in that form, in two's complement; for NaN that before it, or 0
[[nodiscard]] std::optional<DecimalForm> decimal_form_of(std::span<const double> values, std::span<const WrittenUnit> units,
                                                         std::vector<std::uint64_t>& whole);

}  // namespace bakewright::codec
