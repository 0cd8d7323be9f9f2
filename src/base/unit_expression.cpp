// SPDX-License-Identifier: Apache-2.0
#include "unit_expression.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>

#include "bakewright/base/units.hpp"
#include "plain_text.hpp"

namespace bakewright {
namespace {

[[nodiscard]] constexpr Powers added(const Powers& left, const Powers& right, int times) noexcept {
    return {left.length + times * right.length, left.mass + times * right.mass, left.time + times * right.time,
            left.temperature + times * right.temperature, left.amount + times * right.amount};
}

/// A unit's spelling and its size in SI as numerator / denominator, so that "1.2 mm" is 1.2 / 1000, correctly rounded.
struct Unit {
    std::string_view symbol;
    double numerator;
    double denominator;
    Powers powers;
    /// True where a capital means another unit (m and M, K and k).
    bool case_matters = false;
};

constexpr Powers kLength{.length = 1};
constexpr Powers kVolume{.length = 3};
constexpr Powers kMass{.mass = 1};
constexpr Powers kTime{.time = 1};
constexpr Powers kTemperature{.temperature = 1};
constexpr Powers kAmount{.amount = 1};
constexpr Powers kEnergy{.length = 2, .mass = 1, .time = -2};
constexpr Powers kPower{.length = 2, .mass = 1, .time = -3};
constexpr Powers kSpeed{.length = 1, .time = -1};
constexpr Powers kVolumeFlow{.length = 3, .time = -1};
constexpr Powers kPerTime{.time = -1};
constexpr Powers kCount{};
constexpr double kFoot = 12.0 * kMetrePerInch;
constexpr double kCubicFoot = kFoot * kFoot * kFoot;
constexpr double kGallon = 231.0 * kMetrePerInch * kMetrePerInch * kMetrePerInch;

constexpr double kBtu = 1055.05585262;  // BTU_IT, exact

constexpr double kCalorie = 4.184;  // thermochemical calorie, exact

constexpr double kDay = 24.0 * kSecondPerHour;

/// Source of the sizes: NIST SP 811 (2008), appendix B.8.
constexpr std::array kUnits = {
    // length
    Unit{"m", 1, 1, kLength, true},
    Unit{"metre", 1, 1, kLength},
    Unit{"metres", 1, 1, kLength},
    Unit{"meter", 1, 1, kLength},
    Unit{"meters", 1, 1, kLength},
    Unit{"mm", 1, 1e3, kLength, true},
    Unit{"cm", 1, 1e2, kLength},
    Unit{"km", 1e3, 1, kLength},
    Unit{"um", 1, 1e6, kLength},
    Unit{"micron", 1, 1e6, kLength},
    Unit{"microns", 1, 1e6, kLength},
    Unit{"mil", kMetrePerInch, 1e3, kLength},
    Unit{"mils", kMetrePerInch, 1e3, kLength},
    Unit{"thou", kMetrePerInch, 1e3, kLength},
    Unit{"in", kMetrePerInch, 1, kLength},
    Unit{"inch", kMetrePerInch, 1, kLength},
    Unit{"inches", kMetrePerInch, 1, kLength},
    Unit{"\"", kMetrePerInch, 1, kLength},
    Unit{"ft", kFoot, 1, kLength},
    Unit{"foot", kFoot, 1, kLength},
    Unit{"feet", kFoot, 1, kLength},
    Unit{"'", kFoot, 1, kLength},
    // time
    Unit{"s", 1, 1, kTime},
    Unit{"sec", 1, 1, kTime},
    Unit{"secs", 1, 1, kTime},
    Unit{"second", 1, 1, kTime},
    Unit{"seconds", 1, 1, kTime},
    Unit{"min", kSecondPerMinute, 1, kTime},
    Unit{"mins", kSecondPerMinute, 1, kTime},
    Unit{"minute", kSecondPerMinute, 1, kTime},
    Unit{"minutes", kSecondPerMinute, 1, kTime},
    Unit{"h", kSecondPerHour, 1, kTime},
    Unit{"hr", kSecondPerHour, 1, kTime},
    Unit{"hrs", kSecondPerHour, 1, kTime},
    Unit{"hour", kSecondPerHour, 1, kTime},
    Unit{"hours", kSecondPerHour, 1, kTime},
    Unit{"d", kDay, 1, kTime},
    Unit{"day", kDay, 1, kTime},
    Unit{"days", kDay, 1, kTime},
    // temperature, as an interval
    Unit{"K", 1, 1, kTemperature, true},
    Unit{"kelvin", 1, 1, kTemperature},
    Unit{"kelvins", 1, 1, kTemperature},
    Unit{"C", 1, 1, kTemperature},
    Unit{"celsius", 1, 1, kTemperature},
    Unit{"F", 5, 9, kTemperature},
    Unit{"fahrenheit", 5, 9, kTemperature},
    // mass and amount
    Unit{"kg", 1, 1, kMass},
    Unit{"g", 1, 1e3, kMass},
    Unit{"t", 1e3, 1, kMass},
    Unit{"tonne", 1e3, 1, kMass},
    Unit{"tonnes", 1e3, 1, kMass},
    Unit{"lb", kKilogramPerPound, 1, kMass},
    Unit{"lbs", kKilogramPerPound, 1, kMass},
    Unit{"pound", kKilogramPerPound, 1, kMass},
    Unit{"pounds", kKilogramPerPound, 1, kMass},
    Unit{"oz", kKilogramPerPound, 16, kMass},
    Unit{"ounce", kKilogramPerPound, 16, kMass},
    Unit{"ounces", kKilogramPerPound, 16, kMass},
    Unit{"mol", 1, 1, kAmount},
    Unit{"kmol", 1e3, 1, kAmount},
    // volume
    Unit{"l", 1, 1e3, kVolume},
    Unit{"litre", 1, 1e3, kVolume},
    Unit{"litres", 1, 1e3, kVolume},
    Unit{"liter", 1, 1e3, kVolume},
    Unit{"liters", 1, 1e3, kVolume},
    Unit{"ml", 1, 1e6, kVolume, true},
    Unit{"mL", 1, 1e6, kVolume, true},
    Unit{"gal", kGallon, 1, kVolume},
    Unit{"gallon", kGallon, 1, kVolume},
    Unit{"gallons", kGallon, 1, kVolume},
    // energy and power
    Unit{"J", 1, 1, kEnergy},
    Unit{"kJ", 1e3, 1, kEnergy},
    Unit{"MJ", 1e6, 1, kEnergy, true},
    Unit{"Wh", kSecondPerHour, 1, kEnergy},
    Unit{"kWh", 1e3 * kSecondPerHour, 1, kEnergy},
    Unit{"BTU", kBtu, 1, kEnergy},
    Unit{"kBTU", 1e3 * kBtu, 1, kEnergy},
    Unit{"MMBTU", 1e6 * kBtu, 1, kEnergy, true},
    Unit{"cal", kCalorie, 1, kEnergy},
    Unit{"kcal", 1e3 * kCalorie, 1, kEnergy},
    Unit{"W", 1, 1, kPower},
    Unit{"kW", 1e3, 1, kPower},
    Unit{"MW", 1e6, 1, kPower, true},
    Unit{"BTUH", kBtu, kSecondPerHour, kPower},
    // speed, flow, air change
    Unit{"fpm", kFoot, kSecondPerMinute, kSpeed},
    Unit{"cfm", kCubicFoot, kSecondPerMinute, kVolumeFlow},
    Unit{"ach", 1, kSecondPerHour, kPerTime},
    Unit{"air changes", 1, 1, kCount},
    Unit{"air change", 1, 1, kCount},
    Unit{"changes", 1, 1, kCount},
    Unit{"change", 1, 1, kCount},
};

bool same_without_case(std::string_view left, std::string_view right) {
    if (left.size() != right.size()) return false;
    for (std::size_t i = 0; i < left.size(); ++i)
        if (lower(left[i]) != lower(right[i])) return false;
    return true;
}

bool starts_with_unit(std::string_view text, const Unit& unit) {
    if (unit.case_matters) return text.starts_with(unit.symbol);
    return same_without_case(text.substr(0, unit.symbol.size()), unit.symbol);
}

/// The unit with the longest spelling that the text begins with; null where there is none.
[[nodiscard]] const Unit* unit_at_start(std::string_view text) noexcept {
    const Unit* longest = nullptr;
    for (const Unit& unit : kUnits)
        if (starts_with_unit(text, unit) && (longest == nullptr || unit.symbol.size() > longest->symbol.size())) longest = &unit;
    return longest;
}

class UnitReader {
public:
    explicit UnitReader(std::string_view text) : rest_(text) {}

    void read() {
        const bool leading_one = rest_.starts_with("1/") || rest_.starts_with("1 /") || rest_.starts_with("1 per ");
        if (leading_one) rest_.remove_prefix(1);
        skip_spaces();
        read_product(take_division() ? -1 : 1);
        while (take_division()) read_product(-1);
        if (rest_.starts_with('.') && (rest_.size() == 1 || rest_[1] == ' ')) rest_.remove_prefix(1);  // "in."
    }

    [[nodiscard]] std::string_view rest() const { return rest_; }
    [[nodiscard]] UnitExpression expression() const { return expression_; }

private:
    void skip_spaces() { rest_.remove_prefix(std::min(rest_.find_first_not_of(' '), rest_.size())); }

    bool take(std::string_view small_word) {
        if (!starts_with_word(rest_, small_word)) return false;
        rest_.remove_prefix(small_word.size());
        return true;
    }

    bool take_division() {
        const std::string_view before = rest_;
        skip_spaces();
        if (take("/") || take("per ")) {
            skip_spaces();
            return true;
        }
        rest_ = before;
        return false;
    }

    void read_product(int sign) {
        const bool bracketed = take("(");
        skip_spaces();
        word_ = rest_;
        do read_factor(sign);
        while (take_separator());
        if (!bracketed) return;
        skip_spaces();
        if (!take(")")) throw Refusal("has a unit whose bracket is not closed");
    }

    /// True where another factor follows: after a separator, or at once where it reads "m2K" or "kgK".
    bool take_separator() {
        const std::string_view before = rest_;
        skip_spaces();
        if (rest_.starts_with('*') || rest_.starts_with('.') || rest_.starts_with('-')) {
            rest_.remove_prefix(1);
            skip_spaces();
        }
        const bool factor_follows = !rest_.empty() && is_letter(rest_.front()) && !starts_with_word(rest_, "per ");
        if (!factor_follows) {
            rest_ = before;
        } else if (rest_.size() < before.size()) {
            word_ = rest_;
        }
        return factor_follows;
    }

    void read_factor(int sign) {
        const int named_exponent = take_power_word();
        const bool degrees = take_degrees();
        const Unit* const unit = unit_at_start(rest_);
        if (unit == nullptr) refuse_unknown();
        const bool of_temperature = unit->powers == Powers{.temperature = 1};
        if (degrees && !of_temperature) refuse_unknown();
        const bool letter = is_letter(unit->symbol.front());
        rest_.remove_prefix(unit->symbol.size());
        const int exponent = named_exponent * (letter ? take_exponent(unit->powers == Powers{.length = 1}) : 1);
        apply(*unit, sign * exponent);
    }

    [[noreturn]] void refuse_unknown() const {
        const std::string_view word = word_.substr(0, std::min(word_.find_first_of(" 0123456789/*()^-"), word_.size()));
        if (word.empty()) throw Refusal("has a unit that is not complete");
        throw Refusal(fmt::format("has the unknown unit {}", in_quotes(word)));
    }

    int take_power_word() {
        const bool squared = take("square ") || take("sq.") || take("sq");
        const bool cubed = !squared && (take("cubic ") || take("cu.") || take("cu"));
        if (squared || cubed) skip_spaces();
        if (squared) return 2;
        return cubed ? 3 : 1;
    }

    bool take_degrees() {
        const bool taken = take("degrees") || take("degree") || take("deg.") || take("deg");
        if (taken) skip_spaces();
        return taken;
    }

    /// "^2", "2", "^-1", "-1". A bare digit is an exponent only behind a length, so that "1h2min" is two numbers.
    int take_exponent(bool of_length) {
        const bool raised = take("^");
        const std::size_t sign_length = rest_.starts_with('-') ? 1 : 0;
        const std::string_view digits = rest_.substr(sign_length);
        const std::size_t digit_count = std::min(digits.find_first_not_of("0123456789"), digits.size());
        const bool bare = !raised && sign_length == 0;
        const bool small = digit_count == 1 && digits.front() >= '1' && digits.front() <= '3';
        if (digit_count == 0 && !raised) return 1;
        if (bare && (!of_length || !small)) return 1;
        if (!small) throw Refusal("has a unit with an exponent other than 1, 2 or 3");
        rest_.remove_prefix(sign_length + 1);
        const int exponent = digits.front() - '0';
        return sign_length == 1 ? -exponent : exponent;
    }

    void apply(const Unit& unit, int exponent) {
        const double numerator = std::pow(unit.numerator, std::abs(exponent));
        const double denominator = std::pow(unit.denominator, std::abs(exponent));
        expression_.numerator *= exponent > 0 ? numerator : denominator;
        expression_.denominator *= exponent > 0 ? denominator : numerator;
        expression_.powers = added(expression_.powers, unit.powers, exponent);
        const bool alone = ++factor_count_ == 1 && exponent == 1 && unit.powers == Powers{.temperature = 1};
        expression_.scale = alone ? scale_of(unit) : Scale::none;
    }

    static Scale scale_of(const Unit& unit) {
        const char first = lower(unit.symbol.front());
        if (first == 'c') return Scale::celsius;
        return first == 'f' ? Scale::fahrenheit : Scale::kelvin;
    }

    std::string_view rest_;
    std::string_view word_;  ///< from the start of the word that is being read, for messages
    UnitExpression expression_;
    int factor_count_ = 0;
};

}  // namespace

UnitExpression take_unit(std::string_view& text) {
    UnitReader reader(text);
    reader.read();
    UnitExpression expression = reader.expression();
    std::string_view written = text.substr(0, text.size() - reader.rest().size());
    while (written.ends_with(' ')) written.remove_suffix(1);
    expression.text = written;
    text = reader.rest();
    return expression;
}

}  // namespace bakewright
