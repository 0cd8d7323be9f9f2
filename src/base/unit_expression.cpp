#include "unit_expression.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "plain_text.hpp"

namespace bakewright {
namespace {

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
        throw Refusal(fmt::format("has the unknown unit {}", quoted(word)));
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
