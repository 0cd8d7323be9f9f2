#include "number.hpp"

#include <algorithm>
#include <charconv>
#include <optional>
#include <system_error>

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

}  // namespace

double take_number(std::string_view& text) {
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

}  // namespace bakewright
