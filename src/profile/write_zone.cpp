#include <algorithm>

#include "record_writers.hpp"
#include "words.hpp"

namespace bakewright::profile {
namespace {

KeyValues material_values(const thermal::Material& material) {
    KeyValues values;
    if (!material.id.empty()) values.text("id", material.id);
    if (!material.title.empty()) values.text("title", material.title);
    add_material_properties(values, material);
    if (!material.sources.empty()) values.table("sources", sources_of(material.sources));
    return values;
}

KeyValues layer_values(const bake::Layer& layer, const MaterialTable& materials) {
    KeyValues values;
    if (layer.kind == bake::Layer::Kind::air_gap) {
        values.quantity("gap", layer.thickness_m, Dimension::length);
    } else {
        if (materials.names(layer.material))
            values.text("material", layer.material.id);
        else
            values.table("material", material_values(layer.material));
        values.quantity("thickness", layer.thickness_m, Dimension::length);
    }
    values.quantity("contact_resistance", layer.contact_resistance_m2_k_per_w, Dimension::thermal_resistance);
    return values;
}

KeyValues face_values(const bake::Face& face) {
    KeyValues values;
    values.text("view", text_of(kViewWords, face.view));
    if (!face.cavity.empty()) values.text("cavity", face.cavity);
    values.number("emissivity", face.emissivity);
    values.text("masking", text_of(kMaskingWords, face.masking));
    values.quantity("film", face.film_w_per_m2_k, Dimension::film_coefficient);
    return values;
}

KeyValues place_values(const bake::DrawnPlace& place) {
    KeyValues values;
    values.text("on", text_of(kDrawnOnWords, place.on));
    values.number("from", place.from);
    values.number("to", place.to);
    values.number("low", place.low);
    values.number("high", place.high);
    return values;
}

}  // namespace

void MaterialTable::add(const thermal::Material& material) {
    const bool known = std::any_of(materials_.begin(), materials_.end(),
                                   [&](const thermal::Material& other) { return other.id == material.id; });
    if (!known && !material.id.empty() && !material.title.empty()) materials_.push_back(material);
}

bool MaterialTable::names(const thermal::Material& material) const {
    return std::find(materials_.begin(), materials_.end(), material) != materials_.end();
}

KeyValues zone_values(const bake::Zone& zone, const MaterialTable& materials) {
    KeyValues values;
    values.text("name", zone.name);
    if (!zone.title.empty()) values.text("title", zone.title);
    values.text("role", text_of(kRoleWords, zone.role));
    values.quantity("area", zone.area_m2, Dimension::area);
    values.quantity("height", zone.height_m, Dimension::length);
    values.quantity("length", zone.length_m, Dimension::length);
    values.text("orientation", text_of(kOrientationWords, zone.orientation));
    std::vector<KeyValues> layers;
    for (const bake::Layer& layer : zone.layers) layers.push_back(layer_values(layer, materials));
    values.tables("layers", layers);
    values.boolean("coated", zone.coated);
    values.table("outer", face_values(zone.outer));
    values.table("inner", face_values(zone.inner));
    if (!zone.film_group.empty()) values.text("film_group", zone.film_group);
    values.number("infrared_absorptance", zone.infrared_absorptance);
    values.quantity("start", zone.start_temperature_k, Dimension::temperature);
    values.quantity("warn", zone.limits.warn_k, Dimension::temperature);
    values.quantity("never", zone.limits.never_k, Dimension::temperature);
    if (!zone.limit_source.empty()) values.text("limit_source", zone.limit_source);
    std::vector<KeyValues> places;
    for (const bake::DrawnPlace& place : zone.places) places.push_back(place_values(place));
    if (!places.empty()) values.tables("places", places);
    return values;
}

}  // namespace bakewright::profile
