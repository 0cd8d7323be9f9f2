// SPDX-License-Identifier: Apache-2.0
#include "bakewright/base/fields.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>

namespace bakewright {
namespace {

std::string with_unit(std::string text, const FieldUnit& unit) {
    return unit.name.empty() ? text : fmt::format("{} {}", text, unit.name);
}

bool is_in(double value, const Range& range, const FieldUnit& unit) {
    // Ends are accepted as they are written: a unit's factor may not be exact.
    const double least = unit.si(range.least), most = unit.si(range.most);
    const auto slack = [](double end) { return std::isfinite(end) ? 1e-12 * std::abs(end) : 0.0; };
    const bool is_over = range.above_least ? value > least : value >= least - slack(least);
    const bool is_under = range.below_most ? value < most : value <= most + slack(most);
    return std::isfinite(value) && is_over && is_under;
}

OutOfRange si_range(double value, const Range& range, const FieldUnit& unit) {
    return {.value = value, .least = unit.si(range.least), .most = unit.si(range.most), .above_least = range.above_least};
}

OutOfRange out_of_range(double value, const Range& range, const FieldUnit& unit) {
    OutOfRange found = si_range(value, range, unit);
    found.accepted = accepted_text(range, unit);
    return found;
}

}  // namespace

std::string FieldUnit::text(double value_si) const { return with_unit(fmt::format("{:.6g}", shown(value_si)), *this); }

std::string accepted_text(const Range& range, const FieldUnit& unit) {
    const bool has_least = std::isfinite(range.least), has_most = std::isfinite(range.most);
    if (!has_least && !has_most) return "any finite number";
    if (unit.dimension) return accepted_range_text(si_range(0.0, range, unit), *unit.dimension, "1 " + std::string(unit.name));
    const std::string least = fmt::format("{:g}", range.least), most = fmt::format("{:g}", range.most);
    if (!has_least) return with_unit((range.below_most ? "below " : "up to ") + most, unit);
    if (!has_most) return with_unit(range.above_least ? "more than " + least : least + " or more", unit);
    if (range.above_least)
        return with_unit(fmt::format("more than {}, {} {}", least, range.below_most ? "below" : "up to", most), unit);
    return with_unit(fmt::format("{} to {}{}", least, range.below_most ? "below " : "", most), unit);
}

bool Fields::mark(const Field& field, bool& value) {
    std::optional<bool> held;
    if (value) held = true;
    const bool given = flag(field, held);
    value = held.value_or(false);
    return given;
}

std::string FieldCheck::path_of(std::string_view key) const {
    if (path_.empty() || key.empty()) return path_ + std::string(key);
    return fmt::format("{}.{}", path_, key);
}

void FieldCheck::add(std::string_view key, std::string message, std::optional<OutOfRange> range) {
    problems_.push_back({{}, 0, path_of(key), std::move(message), std::move(range)});
}

void FieldCheck::add_all(std::vector<Problem> problems) { std::ranges::move(problems, std::back_inserter(problems_)); }

void FieldCheck::within(std::string_view key, double value, const Range& range, const FieldUnit& unit) {
    if (is_in(value, range, unit)) return;
    OutOfRange found = out_of_range(value, range, unit);
    std::string message = fmt::format("is {}, accepted is {}", unit.text(value), found.accepted);
    add(key, std::move(message), std::move(found));
}

void FieldCheck::require(bool holds, std::string_view key, double value, const FieldUnit& unit, std::string_view accepted) {
    if (!holds) add(key, fmt::format("is {}, accepted is {}", unit.text(value), accepted));
}

bool FieldCheck::is_fine(std::string_view key) const {
    const std::string path = path_of(key);
    return std::ranges::none_of(problems_, [&](const Problem& problem) {
        return problem.key.starts_with(path) &&
               (problem.key.size() == path.size() || problem.key[path.size()] == '.' || problem.key[path.size()] == '[');
    });
}

void FieldCheck::throw_if_any() {
    if (!problems_.empty()) throw InputError(std::move(problems_));
}

bool FieldCheck::number(const Field& field, std::optional<double>& value) {
    if (value && field.counts) within(field.key, *value, field.range, field.unit);
    return value.has_value();
}

bool FieldCheck::spread_of(const Field& field, std::optional<Spread>& value) {
    if (!value) return false;
    const bool is_ordered = value->low <= value->value && value->value <= value->high;
    if (is_ordered && is_in(value->low, field.range, field.unit) && is_in(value->high, field.range, field.unit)) return true;
    const auto shown = [&](double number) { return fmt::format("{:.6g}", field.unit.shown(number)); };
    add(field.key,
        fmt::format("is {}, {}, {}, accepted is low, value and high in rising order, {}", shown(value->low), shown(value->value),
                    with_unit(shown(value->high), field.unit), accepted_text(field.range, field.unit)),
        out_of_range(value->value, field.range, field.unit));
    return true;
}

bool FieldCheck::numbers(const Field& field, std::vector<double>& values) {
    for (const double value : values) within(field.key, value, field.range, field.unit);
    return !values.empty();
}

bool FieldCheck::enter(const Field& field, bool is_there) {
    if (is_there) descend(field.key);
    return is_there;
}

std::size_t FieldCheck::enter_list(const Field& field, std::size_t count) {
    lists_.push_back(field.key);
    return count;
}

void FieldCheck::enter_entry(std::size_t index) { descend(fmt::format("{}[{}]", lists_.back(), index)); }

void FieldCheck::descend(std::string_view step) {
    lengths_.push_back(path_.size());
    if (!path_.empty()) path_ += '.';
    path_ += step;
}

void FieldCheck::leave() {
    path_.resize(lengths_.back());
    lengths_.pop_back();
}

}  // namespace bakewright
