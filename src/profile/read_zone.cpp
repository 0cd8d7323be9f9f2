#include <fmt/format.h>

#include "record_readers.hpp"

namespace bakewright::profile {
namespace {

bake::Layer read_layer(TableReader& reader, MaterialLookup& materials) {
    bake::Layer layer;
    if (reader.has("gap")) {
        layer.kind = bake::Layer::Kind::air_gap;
        reader.read_quantity("gap", Dimension::length, layer.thickness_m);
        for (const std::string_view key : {"material", "thickness"})
            if (reader.has(key))
                reader.problem(key, "does not go with gap; a layer is either a gap or a material with its thickness");
    } else {
        const std::optional<thermal::Material> material = materials.read(reader, "material");
        if (material) layer.material = *material;
        reader.read_quantity("thickness", Dimension::length, layer.thickness_m, Need::required, layer.material.gauge);
    }
    reader.read_quantity("contact_resistance", Dimension::thermal_resistance, layer.contact_resistance_m2_k_per_w);
    reader.finish();
    return layer;
}

/// @return whether the face states its emissivity
bool read_face(TableReader& zone_reader, std::string_view key, bake::Face& face) {
    std::optional<TableReader> reader = zone_reader.table(key);
    if (!reader) return false;
    reader->read_word("view", kViewWords, face.view);
    reader->read_name("cavity", face.cavity, face.view == bake::FaceView::cavity ? Need::required : Need::optional);
    const bool stated = reader->read_number("emissivity", face.emissivity, "a number from 0 to 1");
    reader->read_word("masking", kMaskingWords, face.masking);
    reader->read_quantity("film", Dimension::film_coefficient, face.film_w_per_m2_k);
    reader->finish();
    return stated;
}

void read_place(TableReader& reader, bake::Zone& zone) {
    reader.read_name("name", zone.name, Need::required);
    reader.read_text("title", zone.title);
    reader.read_word("role", kRoleWords, zone.role);
    reader.read_quantity("area", Dimension::area, zone.area_m2, Need::required);
    reader.read_quantity("height", Dimension::length, zone.height_m, Need::required);
    reader.read_quantity("length", Dimension::length, zone.length_m);
    reader.read_word("orientation", kOrientationWords, zone.orientation);
}

bake::DrawnPlace read_drawn_place(TableReader& reader) {
    bake::DrawnPlace place;
    reader.read_word("on", kDrawnOnWords, place.on, Need::required);
    reader.read_number("from", place.from, "a number from 0 to 1");
    reader.read_number("to", place.to, "a number from 0 to 1");
    reader.read_number("low", place.low, "a number from 0 to 1");
    reader.read_number("high", place.high, "a number from 0 to 1");
    reader.finish();
    return place;
}

void read_surface(TableReader& reader, bake::Zone& zone) {
    reader.read_boolean("coated", zone.coated);
    const bool stated = read_face(reader, "outer", zone.outer);
    if (!stated && !zone.coated && !zone.layers.empty()) zone.outer.emissivity = zone.layers.front().material.emissivity;
    read_face(reader, "inner", zone.inner);
    reader.read_name("film_group", zone.film_group);
    reader.read_number("infrared_absorptance", zone.infrared_absorptance, "a number from 0 to 1");
    reader.read_quantity("start", Dimension::temperature, zone.start_temperature_k);
    reader.read_quantity("warn", Dimension::temperature, zone.limits.warn_k);
    reader.read_quantity("never", Dimension::temperature, zone.limits.never_k);
    reader.read_text("limit_source", zone.limit_source);
    for (TableReader& place : reader.tables("places")) zone.places.push_back(read_drawn_place(place));
}

}  // namespace

bake::Zone read_zone(TableReader& reader, MaterialLookup& materials) {
    bake::Zone zone;
    read_place(reader, zone);
    for (TableReader& layer : reader.tables("layers", Need::required)) zone.layers.push_back(read_layer(layer, materials));
    read_surface(reader, zone);
    reader.finish();
    return zone;
}

}  // namespace bakewright::profile
