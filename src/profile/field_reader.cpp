// SPDX-License-Identifier: Apache-2.0
#include "field_reader.hpp"

#include <fmt/format.h>

#include <utility>

namespace bakewright::profile {
namespace {

/// What a number without a unit may be: "a number from 0 to 1".
std::string accepted_number(const Field& field) {
    const Range& range = field.range;
    if (!std::isfinite(range.least) && !std::isfinite(range.most)) return "a number";
    return (range.above_least ? "a number, " : "a number from ") + accepted_text(range, field.unit);
}

}  // namespace

void FieldReader::note_default(const Field& field) {
    if (!field.note.empty()) top().note_default(field.key, field.note);
}

bool FieldReader::number(const Field& field, std::optional<double>& value) {
    note_default(field);
    double read = 0.0;
    const bool given = field.unit.dimension ? top().read_quantity(field.key, *field.unit.dimension, read, field.need, field.gauge)
                                            : top().read_number(field.key, read, accepted_number(field), field.need);
    if (given) value = read;
    return given;
}

bool FieldReader::flag(const Field& field, std::optional<bool>& value) {
    bool read = false;
    const bool given = top().read_boolean(field.key, read);
    if (given) value = read;
    return given;
}

bool FieldReader::text(const Field& field, std::string& value, bool is_name) {
    return is_name ? top().read_name(field.key, value, field.need) : top().read_text(field.key, value, field.need);
}

bool FieldReader::word(const Field& field, std::span<const std::string_view> words, std::optional<std::size_t>& index) {
    const std::optional<std::size_t> read = top().read_word(field.key, words, field.need);
    if (read) index = read;
    return read.has_value();
}

bool FieldReader::spread_of(const Field& field, std::optional<Spread>& value) {
    const std::optional<Spread> read = top().read_spread(field.key, *field.unit.dimension);
    if (read) value = read;
    return read.has_value();
}

bool FieldReader::numbers(const Field& field, std::vector<double>& values) { return top().read_numbers(field.key, values); }

bool FieldReader::names(const Field& field, std::vector<std::string>& values) {
    return top().read_names(field.key, values, field.need);
}

void FieldReader::named_parts(const Field&) {
    if (materials_ != nullptr) materials_->read_own(top());
}

bool FieldReader::by_name(const Field& field, const std::any& part) {
    auto* const* const material = std::any_cast<thermal::Material*>(&part);
    if (material == nullptr || materials_ == nullptr) return false;
    if (std::optional<thermal::Material> read = materials_->read(top(), field.key)) **material = std::move(*read);
    return true;
}

bool FieldReader::chooses(const Field& field, bool /*is_so*/) { return top().has(field.key); }

bool FieldReader::instead(const Field& field, std::string_view word, bool& is_so) {
    is_so = top().holds_text(field.key, word);
    if (is_so) top().has(field.key);
    return is_so;
}

bool FieldReader::product(const Field& whole, const Field& first, const Field& second, double& value) {
    const bool has_whole = top().has(whole.key);
    const bool has_first = top().has(first.key);
    const bool has_factors = top().has(second.key) || has_first;
    if (has_whole && has_factors)
        top().problem(whole.key, fmt::format("is given twice: write either {}, or {} and {}", whole.key, first.key, second.key));
    else if (has_factors)
        read_factors(whole, first, second, value);
    else if (has_whole)
        return (*this)(whole, value);
    else
        top().problem(whole.key, fmt::format("is missing; expected {}, or {} and {} instead",
                                             accepted_forms(*whole.unit.dimension), first.key, second.key));
    return false;
}

void FieldReader::read_factors(const Field& whole, const Field& first, const Field& second, double& value) {
    double one = 0.0, other = 0.0;
    const bool has_one = (*this)(first, one);
    if (!(*this)(second, other) || !has_one) return spoiled(whole.key);
    value = one * other;
    // A product that is out of range has to be mended at one of its factors.
    for (const auto& [key, factor] : {std::pair(first.key, one), std::pair(second.key, other)})
        if (!(factor > 0.0)) top().problem(key, "must be greater than 0");
    if (!(value > 0.0)) spoiled(whole.key);
}

void FieldReader::spoiled(std::string_view key) { collector_->mark_unread(key.empty() ? top().path() : top().path_of(key)); }

bool FieldReader::enter(const Field& field, bool /*is_there*/) {
    note_default(field);
    std::optional<TableReader> table = top().table(field.key, field.need);
    if (table) opened_.push_back({std::move(*table)});
    return table.has_value();
}

void FieldReader::leave() {
    Opened& opened = opened_.back();
    if (!opened.is_given_up) opened.reader.finish();
    if (opened.spoils_list && collector_->is_unread(opened.reader.path())) collector_->mark_unread(lists_.back().path);
    opened_.pop_back();
}

std::size_t FieldReader::enter_list(const Field& field, std::size_t /*count*/) {
    note_default(field);
    lists_.push_back({top().tables(field.key, field.need), top().path_of(field.key), field.rows_compare});
    return lists_.back().entries.size();
}

void FieldReader::enter_entry(std::size_t index) {
    opened_.push_back({lists_.back().entries[index], lists_.back().rows_compare});
}

}  // namespace bakewright::profile
