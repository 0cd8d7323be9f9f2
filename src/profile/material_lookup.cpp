// SPDX-License-Identifier: Apache-2.0
#include "material_lookup.hpp"

#include <fmt/format.h>

#include "bakewright/profile/read.hpp"
#include "bakewright/profile/text_rules.hpp"
#include "field_reader.hpp"

namespace bakewright::profile {
namespace {

thermal::Material read_table(TableReader& reader, Need id_need) {
    thermal::Material material;
    reader.read_name("id", material.id, id_need);
    reader.read_text("title", material.title);
    FieldReader fields(reader);
    visit_fields(material, fields);
    reader.finish();
    reader.collector().add_of_record(problems_in(material, reader.path()));
    return material;
}

}  // namespace

void MaterialLookup::read_own(TableReader& shell_reader) {
    for (TableReader& reader : shell_reader.tables("material")) {
        const thermal::Material material = read_table(reader, Need::required);
        const bool is_new = known_.try_emplace(material.id, material).second;
        if (!is_new) reader.problem("id", fmt::format("{} is defined twice in this file", shown(material.id)));
    }
}

std::optional<thermal::Material> MaterialLookup::read(TableReader& reader, std::string_view key) {
    if (reader.holds_table(key)) {
        std::optional<TableReader> inner = reader.table(key);
        return read_table(*inner, Need::optional);
    }
    std::string id;
    if (!reader.read_name(key, id, Need::required)) return std::nullopt;
    const thermal::Material* const found = find(id, reader.path_of(key));
    return found == nullptr ? std::nullopt : std::optional(*found);
}

const thermal::Material* MaterialLookup::find(const std::string& id, const std::string& key) {
    auto found = known_.find(id);
    if (found == known_.end())
        found = known_.emplace(id, load(id, key)).first;
    else if (!found->second)
        collector_->add(key, fmt::format("material {} cannot be used, see above", shown(id)));
    return found->second ? &*found->second : nullptr;
}

std::optional<thermal::Material> MaterialLookup::load(const std::string& id, const std::string& key) {
    try {
        return load_material(library_->find_name(Kind::material, id), *library_).record;
    } catch (const InputError& error) {
        const bool no_such_name = error.problems().front().file.empty();
        if (no_such_name)
            add_unknown(id, key);
        else
            collector_->add(key, fmt::format("material {} cannot be used, see {}", shown(id), error.problems().front().file));
        if (!no_such_name) collector_->add_foreign(error.problems());
        return std::nullopt;
    }
}

void MaterialLookup::add_unknown(const std::string& id, const std::string& key) {
    std::vector<std::string> names = library_->names(Kind::material);
    for (const auto& [own, material] : known_)
        if (material) names.push_back(own);
    const std::string near = nearest_name(id, names);
    const std::string hint =
        near.empty() ? fmt::format("known: {}", fmt::join(names, ", ")) : fmt::format("did you mean \"{}\"?", near);
    collector_->add(key, fmt::format("unknown material {}; {}", shown(id), hint));
}

}  // namespace bakewright::profile
