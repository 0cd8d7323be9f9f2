// SPDX-License-Identifier: Apache-2.0
#include "field_writer.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace bakewright::profile {

namespace {

/// The text of a path without the indices of its lists, as lists of fields have it: "zone[].area".
std::string generic(std::string_view place) {
    std::string path;
    bool in_brackets = false;
    for (const char letter : place) {
        if (letter == ']') in_brackets = false;
        if (!in_brackets) path += letter;
        if (letter == '[') in_brackets = true;
    }
    return path;
}

bool reads_as(const std::string& text, const Field& field, double value) {
    try {
        return parse_quantity(text, *field.unit.dimension, field.gauge) == value;
    } catch (const QuantityError&) {
        return false;
    }
}

/// Units in which people say a quantity, the first that fits; the field's own goes before them but for times.
std::vector<FieldUnit> usual_units(const FieldUnit& own) {
    if (own.dimension == Dimension::time) return {unit::d, unit::h, {"min", Dimension::time, kSecondPerMinute}, unit::s};
    if (own.dimension == Dimension::length) return {own, unit::m, unit::mm};
    return {own};
}

}  // namespace

std::string FieldWriter::quantity_text(const Field& field, double value) {
    const auto typed = style_->as_typed.find(place_of(field.key));
    if (typed != style_->as_typed.end() && reads_as(typed->second, field, value)) return typed->second;
    const bool is_time = field.unit.dimension == Dimension::time;
    for (const FieldUnit& unit : usual_units(field.unit)) {
        const double shown = unit.shown(value);
        if (is_time && (shown != std::floor(shown) || shown > 1000.0)) continue;
        const std::string text = fmt::format("{:.9g} {}", shown, unit.name);
        if (reads_as(text, field, value)) return text;
    }
    return si_text(value, *field.unit.dimension);
}

bool FieldWriter::is_default(const Field& field, const std::string& shown) {
    if (style_ == nullptr || field.need == Need::required || !field.otherwise.empty()) return false;
    const auto known = std::ranges::find(fields_, generic(place_of(field.key)), &FieldFacts::path);
    return known != fields_.end() && !known->missing.empty() && known->missing == shown;
}

void FieldWriter::add_remark(std::string_view key) {
    if (style_ == nullptr || is_inlined()) return;
    const auto found = style_->remarks.find(place_of(key));
    if (found != style_->remarks.end()) top().values.remark(found->second);
}

bool FieldWriter::number(const Field& field, std::optional<double>& value) {
    if (!value) return false;
    if (!field.unit.dimension)
        top().values.number(field.key, *value);
    else if (style_ == nullptr)
        top().values.quantity(field.key, *value, *field.unit.dimension);
    else if (const std::string text = field.unit.text(*value); is_default(field, text) && reads_as(text, field, *value))
        return true;
    else
        top().values.text(field.key, quantity_text(field, *value));
    add_remark(field.key);
    return true;
}

bool FieldWriter::flag(const Field& field, std::optional<bool>& value) {
    if (!value || is_default(field, *value ? "true" : "false")) return value.has_value();
    top().values.boolean(field.key, *value);
    add_remark(field.key);
    return true;
}

bool FieldWriter::text(const Field& field, std::string& value, bool /*is_name*/) {
    if (!value.empty() || field.need == Need::required) top().values.text(field.key, value);
    return !value.empty();
}

bool FieldWriter::word(const Field& field, std::span<const std::string_view> words, std::optional<std::size_t>& index) {
    if (!index || is_default(field, fmt::format("\"{}\"", words[*index]))) return index.has_value();
    top().values.text(field.key, words[*index]);
    add_remark(field.key);
    return true;
}

bool FieldWriter::spread_of(const Field& field, std::optional<Spread>& value) {
    if (!value) return false;
    KeyValues inner;
    const auto put = [&](std::string_view key, double number) {
        if (style_ != nullptr)
            inner.text(key, quantity_text(field, number));
        else
            inner.quantity(key, number, *field.unit.dimension);
    };
    put("low", value->low);
    put("value", value->value);
    put("high", value->high);
    top().values.table(field.key, inner);
    add_remark(field.key);
    return true;
}

bool FieldWriter::numbers(const Field& field, std::vector<double>& values) {
    if (!values.empty()) top().values.numbers(field.key, values);
    return !values.empty();
}

bool FieldWriter::names(const Field& field, std::vector<std::string>& values) {
    if (!values.empty() || field.need == Need::required) top().values.texts(field.key, values);
    return !values.empty();
}

void FieldWriter::texts(const Field& field, std::map<std::string, std::string>& texts) {
    const KeyValues values = table_of(texts);
    if (is_inlined() && !values.empty()) top().values.table(field.key, values);
    if (!is_inlined()) top().after += section(path_of(field.key), values);
}

bool FieldWriter::instead(const Field& field, std::string_view word, bool& is_so) {
    if (is_so) top().values.text(field.key, word);
    return is_so;
}

std::string FieldWriter::path_of(std::string_view key) {
    return top().path.empty() ? std::string(key) : fmt::format("{}.{}", top().path, key);
}

std::string FieldWriter::place_of(std::string_view key) {
    return top().place.empty() ? std::string(key) : fmt::format("{}.{}", top().place, key);
}

bool FieldWriter::enter(const Field& field, bool is_there) {
    if (is_there) opened_.push_back({path_of(field.key), place_of(field.key), field.is_section ? Form::section : Form::inlined});
    return is_there;
}

void FieldWriter::leave() {
    const Opened done = std::move(opened_.back());
    opened_.pop_back();
    if (done.form == Form::row)
        lists_.back().rows.push_back(done.values);
    else if (done.form == Form::inlined)
        top().values.table(std::string_view(done.path).substr(done.path.find_last_of('.') + 1), done.values);
    else
        top().after += remark_above(done.place) +
                       (done.form == Form::element ? element(done.path, done.values) : section(done.path, done.values)) +
                       done.after;
}

/// What stands over a heading; nothing where there is nothing to say.
std::string FieldWriter::remark_above(const std::string& place) const {
    if (style_ == nullptr) return {};
    const auto found = style_->remarks.find(place);
    return found == style_->remarks.end() ? std::string() : fmt::format("\n# {}", found->second);
}

std::size_t FieldWriter::enter_list(const Field& field, std::size_t count) {
    lists_.push_back({&field, {}});
    return count;
}

void FieldWriter::enter_entry(std::size_t index) {
    const Field& field = *lists_.back().field;
    opened_.push_back(
        {path_of(field.key), fmt::format("{}[{}]", place_of(field.key), index), field.is_section ? Form::element : Form::row});
}

void FieldWriter::leave_list() {
    const List done = std::move(lists_.back());
    lists_.pop_back();
    if (done.field->is_section) return;
    if (done.rows.empty() && done.field->need != Need::required) return;
    top().values.tables(done.field->key, done.rows);
    add_remark(done.field->key);
}

void FieldWriter::named_parts(const Field& field) {
    if (style_ != nullptr) return;  // named ones stand in a library
    for (thermal::Material& material : materials_) {
        opened_.push_back({path_of(field.key), place_of(field.key), Form::element});
        top().values.text("id", material.id);
        top().values.text("title", material.title);
        visit_fields(material, *this);
        leave();
    }
}

bool FieldWriter::by_name(const Field& field, const std::any& part) {
    auto* const* const material = std::any_cast<thermal::Material*>(&part);
    if (material == nullptr) return false;
    if (std::ranges::find(materials_, **material) != materials_.end()) {
        top().values.text(field.key, (*material)->id);
        return true;
    }
    static_cast<void>(enter(field, true));
    if (!(*material)->id.empty()) top().values.text("id", (*material)->id);
    if (!(*material)->title.empty()) top().values.text("title", (*material)->title);
    visit_fields(**material, *this);
    leave();
    return true;
}

}  // namespace bakewright::profile
