// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <stdexcept>
#include <string>
#include <string_view>

namespace bakewright {

/// Exponents of the SI base units a unit is made of. Electric current and luminous intensity do not occur.
struct Powers {
    int length = 0;
    int mass = 0;
    int time = 0;
    int temperature = 0;
    int amount = 0;

    bool operator==(const Powers&) const = default;
};

/// Which scale of temperature a unit standing alone belongs to; a point on such a scale needs an offset.
enum class Scale { none, kelvin, celsius, fahrenheit };

/// The unit of one number: the product and quotient of table units.
struct UnitExpression {
    double numerator = 1.0;
    double denominator = 1.0;
    Powers powers;
    Scale scale = Scale::none;  ///< of a temperature unit that stands alone
    std::string text;           ///< as written, for messages
};

/// Why a text cannot be read: the second half of a sentence whose first half is the text.
class Refusal : public std::runtime_error {
public:
    using std::runtime_error::runtime_error;
};

/// Reads the unit at the start of a plain text and takes it off; stops at the end or where the next number starts.
///
///     unit     = product { ("/" | "per") product }     what follows a slash, up to the next one, is divided by: W/m2K
///     product  = "(" factors ")" | factors
///     factors  = factor { [" " | "*" | "." | "-"] factor }
///     factor   = ["sq" | "square" | "cu" | "cubic"] symbol [["^"] exponent]
///
/// @throws Refusal
[[nodiscard]] UnitExpression take_unit(std::string_view& text);

}  // namespace bakewright
