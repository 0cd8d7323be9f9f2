#include "field_writer.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace bakewright::profile {

bool FieldWriter::number(const Field& field, std::optional<double>& value) {
    if (!value) return false;
    if (field.unit.dimension)
        top().values.quantity(field.key, *value, *field.unit.dimension);
    else
        top().values.number(field.key, *value);
    return true;
}

bool FieldWriter::flag(const Field& field, std::optional<bool>& value) {
    if (value) top().values.boolean(field.key, *value);
    return value.has_value();
}

bool FieldWriter::text(const Field& field, std::string& value, bool /*is_name*/) {
    if (!value.empty() || field.need == Need::required) top().values.text(field.key, value);
    return !value.empty();
}

bool FieldWriter::word(const Field& field, std::span<const std::string_view> words, std::optional<std::size_t>& index) {
    if (index) top().values.text(field.key, words[*index]);
    return index.has_value();
}

bool FieldWriter::spread_of(const Field& field, std::optional<Spread>& value) {
    if (!value) return false;
    KeyValues inner;
    inner.quantity("low", value->low, *field.unit.dimension);
    inner.quantity("value", value->value, *field.unit.dimension);
    inner.quantity("high", value->high, *field.unit.dimension);
    top().values.table(field.key, inner);
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

void FieldWriter::sources(std::map<std::string, std::string>& sources) {
    const KeyValues values = sources_of(sources);
    if (is_inlined() && !values.empty()) top().values.table("sources", values);
    if (!is_inlined()) top().after += section(path_of("sources"), values);
}

bool FieldWriter::instead(const Field& field, std::string_view word, bool& is_so) {
    if (is_so) top().values.text(field.key, word);
    return is_so;
}

std::string FieldWriter::path_of(std::string_view key) {
    return top().path.empty() ? std::string(key) : fmt::format("{}.{}", top().path, key);
}

bool FieldWriter::enter(const Field& field, bool is_there) {
    if (is_there) opened_.push_back({path_of(field.key), field.is_section ? Form::section : Form::inlined});
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
        top().after +=
            (done.form == Form::element ? element(done.path, done.values) : section(done.path, done.values)) + done.after;
}

std::size_t FieldWriter::enter_list(const Field& field, std::size_t count) {
    lists_.push_back({&field, {}});
    return count;
}

void FieldWriter::enter_entry(std::size_t /*index*/) {
    const Field& field = *lists_.back().field;
    opened_.push_back({path_of(field.key), field.is_section ? Form::element : Form::row});
}

void FieldWriter::leave_list() {
    const List done = std::move(lists_.back());
    lists_.pop_back();
    if (done.field->is_section) return;
    if (!done.rows.empty() || done.field->need == Need::required) top().values.tables(done.field->key, done.rows);
}

void FieldWriter::named_parts(const Field& field) {
    for (thermal::Material& material : materials_) {
        opened_.push_back({path_of(field.key), Form::element});
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
