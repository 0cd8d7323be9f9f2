// SPDX-License-Identifier: Apache-2.0
#include "bakewright/profile/write.hpp"

#include <algorithm>

#include "bakewright/base/error.hpp"
#include "bakewright/profile/fields.hpp"
#include "bakewright/profile/kind.hpp"
#include "bakewright/profile/read.hpp"
#include "field_writer.hpp"

namespace bakewright::profile {
namespace {

/// Visitors may write: a copy of the record.
template <class Record>
std::string written(Kind kind, Record record) {
    FieldWriter writer(head(kind_name(kind), record.id, record.title));
    visit_fields(record, writer);
    return writer.text();
}

/// The materials of a shell that are written once and named by their id. A second material of the same id, or one without an id
/// or title, is written where it is used.
std::vector<thermal::Material> named_materials(const bake::Shell& shell) {
    std::vector<thermal::Material> materials;
    for (const bake::Zone& zone : shell.zones)
        for (const bake::Layer& layer : zone.layers) {
            const thermal::Material& material = layer.material;
            const bool is_known =
                std::ranges::any_of(materials, [&](const thermal::Material& other) { return other.id == material.id; });
            const bool has_name = !material.id.empty() && !material.title.empty();
            if (layer.kind == bake::Layer::Kind::solid && !is_known && has_name) materials.push_back(material);
        }
    return materials;
}

void ensure_pairs(const ShellProfile& profile) {
    const bake::Shell& shell = profile.shell;
    ensure(shell.items.size() == profile.item_limits.size(), "every item of a shell has its limits");
    for (std::size_t i = 0; i < shell.items.size(); ++i) {
        const cure::HeatSensitiveItem& limits = profile.item_limits[i];
        ensure(shell.items[i].name == limits.name && shell.items[i].title == limits.title,
               "an item and its limits have one name and title");
        for (const cure::ExposureLimit& limit : limits.limits)
            ensure(limit.kind != cure::LimitKind::never_inside,
                   "a limit of a layer inside is told by the materials, never written");
    }
}

}  // namespace

std::string to_toml(const thermal::Material& material) { return written(Kind::material, material); }
std::string to_toml(const cure::Coating& coating) { return written(Kind::coating, coating); }
std::string to_toml(const bake::Booth& booth) { return written(Kind::booth, booth); }
std::string to_toml(const bake::Cycle& cycle) { return written(Kind::cycle, cycle); }
std::string to_toml(const probe::ProbeSet& set) { return written(Kind::probes, set); }
std::string to_toml(const probe::SourceRecord& source) { return written(Kind::source, source); }

std::string to_toml(const ShellProfile& profile) {
    ensure_pairs(profile);
    ShellProfile copy = profile;
    FieldWriter writer(head(kind_name(Kind::shell), copy.shell.id, copy.shell.title), named_materials(copy.shell));
    visit_fields(copy, writer);
    return writer.text();
}

namespace {

KeyValues hand_head(Kind kind, const std::string& title) {
    KeyValues values;
    values.text("kind", kind_name(kind));
    values.text("title", title);
    return values;
}

/// Those of a shell's materials that a library has just so.
std::vector<thermal::Material> known_to(const Library& library, const bake::Shell& shell) {
    const std::vector<std::string> names = library.names(Kind::material);
    std::vector<thermal::Material> known = named_materials(shell);
    std::erase_if(known, [&](const thermal::Material& material) {
        return !std::ranges::binary_search(names, material.id) || load_material(material.id, library).record != material;
    });
    return known;
}

template <class Record>
std::string hand_written(Kind kind, Record record, const HandStyle& style) {
    FieldWriter writer(hand_head(kind, record.title), style, fields_of(kind), {});
    visit_fields(record, writer);
    return writer.text();
}

}  // namespace

std::string to_hand_toml(const cure::Coating& coating, const HandStyle& style) {
    return hand_written(Kind::coating, coating, style);
}

std::string to_hand_toml(const bake::Booth& booth, const HandStyle& style) { return hand_written(Kind::booth, booth, style); }

std::string to_hand_toml(const ShellProfile& profile, const Library& library, const HandStyle& style) {
    ensure_pairs(profile);
    ShellProfile copy = profile;
    FieldWriter writer(hand_head(Kind::shell, copy.shell.title), style, fields_of(Kind::shell), known_to(library, copy.shell));
    visit_fields(copy, writer);
    return writer.text();
}

std::string hand_elements(const bake::Shell& parts, const Library& library, const HandStyle& style) {
    ShellProfile alone;
    alone.shell.zones = parts.zones;
    alone.shell.links = parts.links;
    alone.shell.cavities = parts.cavities;
    const std::string text = to_hand_toml(alone, library, style);
    const std::size_t first = text.find("[[");
    return first == std::string::npos ? std::string() : text.substr(first);
}

}  // namespace bakewright::profile
