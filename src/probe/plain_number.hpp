// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <fast_float/fast_float.h>

#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>

#include "cell.hpp"

namespace bakewright::probe {

/// Reads the number that text begins with: digits, perhaps behind a minus, perhaps a decimal mark and digits, perhaps an
/// exponent. Returns where it ends; null where there is none, or none that a double can hold. Digits up to 10^15 and powers of
/// ten up to 10^22 are doubles, so that one division gives the double nearest to the decimal (W. D. Clinger, How to read floating
/// point numbers accurately, 1990): the numbers of most logs, at half the cost. All others are left to fast_float.
inline const char* read_plain_number(const char* at, const char* end, char decimal_mark, double& value) noexcept {
    constexpr std::array kPowers = {1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};
    const char* const begin = at;
    const bool is_negative = at != end && *at == '-';
    at += is_negative ? 1 : 0;
    std::uint64_t digits = 0;
    const auto take_digits = [&]() -> std::ptrdiff_t {
        const char* const from = at;
        for (; at != end && is_digit(*at); ++at) digits = 10 * digits + static_cast<std::uint64_t>(*at - '0');
        return at - from;
    };
    const std::ptrdiff_t whole = take_digits();
    if (whole == 0) return nullptr;
    std::ptrdiff_t behind_mark = 0;
    bool is_simple = true;
    if (at != end && *at == decimal_mark) {
        ++at;
        behind_mark = take_digits();
        is_simple = behind_mark > 0;
    }
    is_simple = is_simple && whole + behind_mark <= 15 && (at == end || (*at != 'e' && *at != 'E'));
    if (is_simple) {
        const double amount =
            static_cast<double>(static_cast<std::int64_t>(digits)) / kPowers[static_cast<std::size_t>(behind_mark)];
        value = is_negative ? -amount : amount;
        return at;
    }
    const fast_float::parse_options how(fast_float::chars_format::general, decimal_mark);
    const auto read = fast_float::from_chars_advanced(begin, end, value, how);
    return read.ec == std::errc() && std::isfinite(value) ? read.ptr : nullptr;
}

}  // namespace bakewright::probe
