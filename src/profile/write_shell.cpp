#include "bakewright/base/error.hpp"
#include "bakewright/profile/kind.hpp"
#include "bakewright/profile/write.hpp"
#include "learned.hpp"
#include "record_writers.hpp"
#include "words.hpp"

namespace bakewright::profile {
namespace {

MaterialTable materials_of(const bake::Shell& shell) {
    MaterialTable materials;
    for (const bake::Zone& zone : shell.zones)
        for (const bake::Layer& layer : zone.layers)
            if (layer.kind == bake::Layer::Kind::solid) materials.add(layer.material);
    return materials;
}

std::string material_text(const thermal::Material& material) {
    KeyValues values;
    values.text("id", material.id);
    values.text("title", material.title);
    add_material_properties(values, material);
    return element("material", values) + section("material.sources", sources_of(material.sources));
}

KeyValues size_values(const bake::ShellSize& size) {
    KeyValues values;
    values.quantity("length", size.length_m, Dimension::length);
    values.quantity("width", size.width_m, Dimension::length);
    values.quantity("height", size.height_m, Dimension::length);
    return values;
}

KeyValues link_values(const bake::Link& link) {
    KeyValues values;
    values.text("from", link.from);
    values.text("to", link.to);
    values.quantity("conductance", link.conductance_w_per_k, Dimension::conductance);
    values.text("from_side", text_of(kSideWords, link.from_side));
    values.text("to_side", text_of(kSideWords, link.to_side));
    if (link.bonded) values.boolean("bonded", *link.bonded);
    return values;
}

KeyValues cavity_values(const bake::Cavity& cavity) {
    KeyValues values;
    values.text("name", cavity.name);
    values.quantity("volume", cavity.volume_m3, Dimension::volume);
    values.quantity("leakage", cavity.leakage_per_s, Dimension::air_change_rate);
    values.quantity("contents", cavity.contents_heat_capacity_j_per_k, Dimension::heat_capacity);
    values.quantity("contents_conductance", cavity.contents_conductance_w_per_k, Dimension::conductance);
    values.quantity("start", cavity.start_temperature_k, Dimension::temperature);
    values.quantity("contents_warn", cavity.contents_limits.warn_k, Dimension::temperature);
    values.quantity("contents_never", cavity.contents_limits.never_k, Dimension::temperature);
    if (!cavity.contents_limit_source.empty()) values.text("contents_limit_source", cavity.contents_limit_source);
    return values;
}

void add_place(KeyValues& values, const bake::Item& item) {
    switch (item.place) {
        case bake::Item::Place::zone:
            return values.text("zone", item.where);
        case bake::Item::Place::cavity:
            return values.text("cavity", item.where);
        case bake::Item::Place::booth:
            return values.boolean("booth", true);
    }
}

KeyValues limit_values(const cure::ExposureLimit& limit) {
    KeyValues values;
    values.quantity("temperature", limit.temperature_k, Dimension::temperature);
    values.quantity("allowed", limit.allowed_s, Dimension::time);
    values.text("scope", text_of(kScopeWords, limit.scope));
    ensure(limit.kind != cure::LimitKind::never_inside, "a limit of a layer inside is told by the materials, never written");
    if (limit.kind == cure::LimitKind::warn) values.boolean("warn", true);
    return values;
}

std::string item_text(const bake::Item& item, const cure::HeatSensitiveItem& limits) {
    ensure(item.name == limits.name && item.title == limits.title, "an item and its limits have one name and title");
    KeyValues values;
    values.text("name", item.name);
    if (!item.title.empty()) values.text("title", item.title);
    add_place(values, item);
    values.quantity("heat_capacity", item.heat_capacity_j_per_k, Dimension::heat_capacity);
    values.quantity("conductance", item.conductance_w_per_k, Dimension::conductance);
    values.quantity("start", item.start_temperature_k, Dimension::temperature);
    if (!item.instead_of.empty()) values.text("instead_of", item.instead_of);
    std::vector<KeyValues> rows;
    for (const cure::ExposureLimit& limit : limits.limits) rows.push_back(limit_values(limit));
    values.tables("limits", rows);
    return element("item", values) + section("item.sources", sources_of(limits.sources));
}

}  // namespace

std::string to_toml(const ShellProfile& profile) {
    const bake::Shell& shell = profile.shell;
    ensure(shell.items.size() == profile.item_limits.size(), "every item of a shell has its limits");
    const MaterialTable materials = materials_of(shell);
    std::string text = head(kind_name(Kind::shell), shell.id, shell.title).lines();
    if (shell.size) text += section("size", size_values(*shell.size));
    for (const thermal::Material& material : materials.materials()) text += material_text(material);
    for (const bake::Zone& zone : shell.zones) text += element("zone", zone_values(zone, materials));
    for (const bake::Link& link : shell.links) text += element("link", link_values(link));
    for (const bake::Cavity& cavity : shell.cavities) text += element("cavity", cavity_values(cavity));
    for (std::size_t i = 0; i < shell.items.size(); ++i) text += item_text(shell.items[i], profile.item_limits[i]);
    return text + learned_text(shell.learned);
}

}  // namespace bakewright::profile
