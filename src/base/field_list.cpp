// SPDX-License-Identifier: Apache-2.0
#include "bakewright/base/field_list.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace bakewright {

std::string FieldList::path_of(std::string_view key) const {
    return prefixes_.empty() ? std::string(key) : prefixes_.back() + std::string(key);
}

/// A field that is told twice (as a choice, then for its value) is one.
FieldFacts& FieldList::add(const Field& field, Kind kind, std::string missing) {
    if (!field.otherwise.empty()) missing = field.otherwise;
    if (field.need == Need::required) missing.clear();
    const std::string path = path_of(field.key);
    const auto known = std::ranges::find(facts_, path, &FieldFacts::path);
    if (known == facts_.end()) return facts_.emplace_back(FieldFacts{path, kind, field, {}, std::move(missing)});
    known->kind = kind;
    known->missing = std::move(missing);
    return *known;
}

bool FieldList::number(const Field& field, std::optional<double>& value) {
    add(field, Kind::number, value ? field.unit.text(*value) : std::string());
    return true;
}

bool FieldList::flag(const Field& field, std::optional<bool>& value) {
    add(field, Kind::flag, value ? (*value ? "true" : "false") : "");
    return true;
}

bool FieldList::text(const Field& field, std::string&, bool is_name) {
    add(field, is_name ? Kind::name : Kind::text);
    return true;
}

bool FieldList::word(const Field& field, std::span<const std::string_view> words, std::optional<std::size_t>& index) {
    add(field, Kind::word, index ? fmt::format("\"{}\"", words[*index]) : "").words.assign(words.begin(), words.end());
    return true;
}

bool FieldList::spread_of(const Field& field, std::optional<Spread>&) {
    add(field, Kind::spread);
    return true;
}

bool FieldList::numbers(const Field& field, std::vector<double>&) {
    add(field, Kind::numbers);
    return true;
}

bool FieldList::names(const Field& field, std::vector<std::string>&) {
    add(field, Kind::names);
    return true;
}

void FieldList::texts(const Field& field, std::map<std::string, std::string>&) { add(field, Kind::texts); }

bool FieldList::chooses(const Field& field, bool is_so) {
    add(field, Kind::choice);
    return is_so;
}

bool FieldList::instead(const Field& field, std::string_view word, bool& is_so) {
    add(field, Kind::number).words = {word};
    return is_so;
}

bool FieldList::by_name(const Field& field, const std::any&) {
    add(field, Kind::part);
    return true;
}

bool FieldList::enter(const Field& field, bool) {
    add(field, Kind::table);
    if (goes_below_) prefixes_.push_back(path_of(field.key) + ".");
    return goes_below_;
}

std::size_t FieldList::enter_list(const Field& field, std::size_t) {
    add(field, Kind::list);
    lists_.push_back(field.key);
    return goes_below_ ? 1 : 0;
}

}  // namespace bakewright
