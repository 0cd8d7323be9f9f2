// SPDX-License-Identifier: Apache-2.0
#include "bakewright/bake/shell.hpp"
#include "bakewright/base/fields.hpp"

/// The fields of a shell.
namespace bakewright::bake {
namespace {

constexpr Range kStart{-40.0, 250.0};
constexpr Range kShare{0.0, 1.0};
constexpr Range kConductance{1e-6, 1e6};

Field start_field(std::string_view what) {
    return {.key = "start", .unit = unit::deg_c, .range = kStart, .what = what, .otherwise = "the shell's"};
}

/// @return whether the face states its emissivity
bool visit_face(Face& face, Fields& see) {
    see({.key = "view", .what = "what the face looks at", .otherwise = "outer booth, inner nothing"}, face.view);
    see.name({.key = "cavity",
              .need = face.view == FaceView::cavity ? Need::required : Need::optional,
              .what = "name of the cavity",
              .rule = "one of the shell's",
              .needed = "with view `\"cavity\"`"},
             face.cavity);
    const bool is_stated =
        see({.key = "emissivity",
             .range = kShare,
             .what = "number",
             .source = "infrared instrument manuals, paint of any colour 0.8 to 0.95. The outer face of a zone "
                       "with `coated = false`: that of its first material"},
            face.emissivity);
    see({.key = "masking", .what = "what covers the face"}, face.masking);
    see({.key = "film",
         .unit = unit::w_per_m2k,
         .range = {0.01, 1000.0},
         .what = "film coefficient in place of the booth's",
         .otherwise = "the booth's"},
        face.film_w_per_m2_k);
    return is_stated;
}

void visit_place_and_size(Zone& zone, Fields& see) {
    see.name({.key = "name", .need = Need::required, .what = "name", .rule = "unique"}, zone.name);
    see({.key = "title", .what = "text", .otherwise = "the name"}, zone.title);
    see({.key = "role", .what = "what kind of part it is"}, zone.role);
    see({.key = "area", .unit = unit::m2, .range = {1e-6, 1e4}, .need = Need::required, .what = "area of one face"},
        zone.area_m2);
    see({.key = "height",
         .unit = unit::m,
         .range = {0.0, 30.0},
         .need = Need::required,
         .what = "length: its middle above the booth floor"},
        zone.height_m);
    see({.key = "length",
         .unit = unit::m,
         .range = {0.001, 100.0},
         .what = "length along the air stream",
         .source = "common practice"},
        zone.length_m);
    see({.key = "diameter",
         .unit = unit::m,
         .range = {0.001, 2.0},
         .what =
             "length: of a round bar or tube, or the side of a box section, across the stream; its film is that of a cylinder "
             "([films](films.md))",
         .otherwise = "the film of a plate"},
        zone.diameter_m);
    see({.key = "orientation", .what = "how it lies"}, zone.orientation);
}

/// A conductance, or a contact: conductivity times area over length (Fourier's law).
void visit_conductance(Link& link, Fields& see) {
    const Field whole{.key = "conductance",
                      .unit = unit::w_per_k,
                      .range = kConductance,
                      .need = Need::required,
                      .what = "conductance",
                      .needed = "this or `contact`"};
    const bool is_contact = see.chooses({.key = "contact",
                                         .what = "`{ area, length, material }`: conductivity × area / length (Fourier)",
                                         .rule = "over 0",
                                         .needed = "this or `conductance`"},
                                        false);
    if (!is_contact) {
        see(whole, link.conductance_w_per_k);
        return;
    }
    if (see.chooses(whole, false)) see.problem(whole.key, "is given twice: write either conductance or contact");
    see.table({.key = "contact"}, [&] {
        double area_m2 = 0.0, length_m = 0.0;
        const bool has_area = see({.key = "area", .unit = unit::m2, .need = Need::required}, area_m2);
        const bool has_length = see({.key = "length", .unit = unit::m, .need = Need::required}, length_m);
        thermal::Material material;
        see.part({.key = "material"}, material);
        if (!has_area || !has_length) return;
        if (!(area_m2 > 0.0)) see.problem("area", "must be greater than 0");
        if (!(length_m > 0.0)) see.problem("length", "must be greater than 0");
        if (length_m > 0.0) link.conductance_w_per_k = material.conductivity_w_per_m_k * area_m2 / length_m;
    });
    see.spoiled(whole.key);
}

/// An item is fixed to a zone, or hangs in the air of a cavity or of the booth.
void visit_place(Item& item, Fields& see) {
    const Field zone{.key = "zone", .what = "its place: the zone it is fixed to", .needed = "one of `zone`, `cavity`, `booth`"};
    const Field cavity{.key = "cavity", .what = "or the cavity in whose air it hangs", .needed = zone.needed};
    const Field booth{.key = "booth", .what = "or `true`: it hangs in the booth's air", .needed = zone.needed};
    const bool at_zone = see.chooses(zone, item.place == Item::Place::zone);
    const bool in_cavity = see.chooses(cavity, item.place == Item::Place::cavity);
    const bool in_booth = see.chooses(booth, item.place == Item::Place::booth);
    const bool is_one_place = at_zone + in_cavity + in_booth == 1;
    if (!is_one_place)
        see.problem("cavity", "an item has exactly one place: expected zone = \"...\", cavity = \"...\" or booth = true");
    if (at_zone && see.name(zone, item.where)) item.place = Item::Place::zone;
    if (in_cavity && see.name(cavity, item.where)) item.place = Item::Place::cavity;
    bool is_booth = item.place == Item::Place::booth;
    if (in_booth && see.mark(booth, is_booth)) {
        if (is_booth)
            item.place = Item::Place::booth;
        else if (is_one_place)
            see.problem("booth", "is not true: name a zone or a cavity instead");
    }
    if (!is_one_place || !at_zone) see.spoiled("zone");
    if (!is_one_place || !in_cavity) see.spoiled("cavity");
}

}  // namespace

void visit_fields(ShellSize& size, Fields& see) {
    constexpr Range kLength{0.01, 100.0};
    see({.key = "length", .unit = unit::m, .range = kLength, .need = Need::required, .what = "length"}, size.length_m);
    see({.key = "width", .unit = unit::m, .range = kLength, .need = Need::required, .what = "width"}, size.width_m);
    see({.key = "height", .unit = unit::m, .range = kLength, .need = Need::required, .what = "height"}, size.height_m);
}

void visit_fields(Layer& layer, Fields& see) {
    constexpr Range kThickness{0.001, 1000.0};
    const Field gap{.key = "gap",
                    .unit = unit::mm,
                    .range = kThickness,
                    .what = "length: of an air gap, in place of `material` and `thickness`",
                    .rule = "between two solid layers"};
    const Field material{.key = "material",
                         .need = Need::required,
                         .what = "name of a material, or a table with its keys",
                         .needed = "with `thickness`"};
    const Field thickness{.key = "thickness",
                          .unit = unit::mm,
                          .range = kThickness,
                          .need = Need::required,
                          .what = "length; in gauge where the material has one",
                          .needed = "with `material`"};
    if (see.chooses(gap, layer.kind == Layer::Kind::air_gap)) {
        layer.kind = Layer::Kind::air_gap;
        see(gap, layer.thickness_m);
        for (const Field* other : {&material, &thickness})
            if (see.chooses(*other, false))
                see.problem(other->key, "does not go with gap; a layer is either a gap or a material with its thickness");
    } else {
        see.part(material, layer.material);
        Field by_gauge = thickness;
        by_gauge.gauge = layer.material.gauge;
        see(by_gauge, layer.thickness_m);
    }
    see({.key = "contact_resistance",
         .unit = unit::m2k_per_w,
         .range = {0.0, 1e3},
         .what = "thermal resistance towards the next layer inward: adhesive, tape, a loose fit"},
        layer.contact_resistance_m2_k_per_w);
}

void visit_fields(Face& face, Fields& see) { static_cast<void>(visit_face(face, see)); }

void visit_fields(DrawnPlace& place, Fields& see) {
    see({.key = "on", .need = Need::required, .what = "the view it is drawn on"}, place.on);
    see({.key = "from",
         .range = kShare,
         .what = "number: on sides, top and underside from the front (0) to the rear (1); else from the left to the right of who "
                 "looks at it"},
        place.from);
    see({.key = "to", .range = kShare, .what = "number: likewise", .rule = "more than `from`"}, place.to);
    see({.key = "low",
         .range = kShare,
         .what = "number: from the ground (0) to the roof (1); on top and underside from the right side to the left"},
        place.low);
    see({.key = "high", .range = kShare, .what = "number: likewise", .rule = "more than `low`"}, place.high);
}

void visit_fields(Zone& zone, Fields& see) {
    visit_place_and_size(zone, see);
    see.list({.key = "layers",
              .need = Need::required,
              .what = "the layers, outside first; below",
              .rule = "1 to 20; first and last solid"},
             zone.layers);
    see({.key = "coated", .what = "`false` for bare parts: not judged for cure"}, zone.coated);
    bool is_stated = false;
    see.table({.key = "outer", .what = "the outer face, below", .otherwise = "looks at the booth"},
              [&] { is_stated = visit_face(zone.outer, see); });
    if (!is_stated && !zone.coated && !zone.layers.empty()) zone.outer.emissivity = zone.layers.front().material.emissivity;
    see.table({.key = "inner", .what = "the inner face, below", .otherwise = "looks at nothing"}, zone.inner);
    see.name({.key = "film_group", .what = "name: zones whose film coefficient is tuned together", .otherwise = "by orientation"},
             zone.film_group);
    see({.key = "infrared_absorptance",
         .range = kShare,
         .what = "number, by colour",
         .source = "infrared instrument manuals, dark paint"},
        zone.infrared_absorptance);
    see(start_field("temperature, where it differs from the shell's"), zone.start_temperature_k);
    thermal::visit_limits(zone.limits, see);
    see({.key = "limit_source",
         .what = "who says how hot its outer face may get, in place of the limits of its materials",
         .needed = "with `warn` or `never`"},
        zone.limit_source);
    see.list({.key = "places",
              .what = "rectangles: where the drawing of the shell shows the zone; below",
              .otherwise = "told by height, area and names, below"},
             zone.places);
}

void visit_fields(Link& link, Fields& see) {
    see.name({.key = "from", .need = Need::required, .what = "name of a zone"}, link.from);
    see.name({.key = "to", .need = Need::required, .what = "name of another zone"}, link.to);
    visit_conductance(link, see);
    see({.key = "from_side", .what = "which face of the stack it joins"}, link.from_side);
    see({.key = "to_side", .what = "likewise"}, link.to_side);
    see({.key = "bonded",
         .what = "whether temperature differences strain it, as laminate bonded to metal; `plan --largest-difference` keeps "
                 "within it",
         .otherwise = "by the materials of the faces it joins ([planning](planning.md))"},
        link.bonded);
    see({.key = "seam",
         .unit = unit::m,
         .range = {0.001, 1000.0},
         .what = "length of the line along which the two touch, all together; the skin over it is judged as a place of its own "
                 "([films](films.md))",
         .otherwise = "told from the conductance, on the safe side"},
        link.seam_m);
    see({.key = "seam_width",
         .unit = unit::m,
         .range = {0.001, 1.0},
         .what = "width of what touches along the seam",
         .otherwise = "50 mm (common practice, no source)"},
        link.seam_width_m);
}

void visit_fields(Cavity& cavity, Fields& see) {
    see.name({.key = "name", .need = Need::required, .what = "name", .rule = "unique"}, cavity.name);
    see({.key = "volume", .unit = unit::m3, .range = {1e-5, 1e4}, .need = Need::required, .what = "volume"}, cavity.volume_m3);
    see({.key = "leakage", .unit = unit::per_h, .range = {0.0, 3600.0}, .what = "air changes with the booth: `\"4 per h\"`"},
        cavity.leakage_per_s);
    see({.key = "contents", .unit = unit::j_per_k, .range = {0.0, 1e9}, .what = "heat capacity of furniture and fittings"},
        cavity.contents_heat_capacity_j_per_k);
    see({.key = "contents_conductance",
         .unit = unit::w_per_k,
         .range = kConductance,
         .what = "conductance between the air and them",
         .needed = "with `contents`",
         .counts = cavity.contents_heat_capacity_j_per_k > 0.0},
        cavity.contents_conductance_w_per_k);
    see(start_field("temperature"), cavity.start_temperature_k);
    thermal::visit_limits(cavity.contents_limits, see, "contents_warn", "contents_never");
    see({.key = "contents_limit_source",
         .what = "who says how hot the air may get for what is in it",
         .needed = "with `contents_warn` or `contents_never`"},
        cavity.contents_limit_source);
}

void visit_fields(Item& item, Fields& see) {
    see.name({.key = "name", .need = Need::required, .what = "name", .rule = "unique"}, item.name);
    see({.key = "title", .what = "text", .otherwise = "the name"}, item.title);
    visit_place(item, see);
    see.product({.key = "heat_capacity",
                 .unit = unit::j_per_k,
                 .range = {1e-3, 1e9},
                 .need = Need::required,
                 .what = "heat capacity, or in its place `mass` and `specific_heat`"},
                {.key = "mass", .unit = unit::kg, .need = Need::required},
                {.key = "specific_heat", .unit = unit::j_per_kgk, .need = Need::required}, item.heat_capacity_j_per_k);
    see.product({.key = "conductance",
                 .unit = unit::w_per_k,
                 .range = kConductance,
                 .need = Need::required,
                 .what = "conductance to its place, contact to a zone; or to air, in its place, `film` and `area`"},
                {.key = "film", .unit = unit::w_per_m2k, .need = Need::required},
                {.key = "area", .unit = unit::m2, .need = Need::required}, item.conductance_w_per_k);
    see(start_field("temperature"), item.start_temperature_k);
    see.name({.key = "instead_of",
              .what = "of an item at a zone: the one material of the zone whose limits it stands in for",
              .rule = "a material of the zone",
              .otherwise = "all of the zone's materials"},
             item.instead_of);
}

void visit_fields(Shell& shell, Fields& see, const std::function<void(std::size_t)>& rest_of_item) {
    see.table({.key = "size", .what = "outer size", .otherwise = "3 : 1 : 1 in the drawing", .is_section = true}, shell.size);
    see.named_parts({.key = "material", .what = "materials that the file brings along", .is_section = true});
    see.list({.key = "zone", .need = Need::required, .what = "the zones", .is_section = true}, shell.zones);
    see.list({.key = "link", .what = "heat conduction between zones", .is_section = true}, shell.links);
    see.list({.key = "cavity", .what = "closed air spaces", .is_section = true}, shell.cavities);
    see.list({.key = "item", .what = "things that heat can spoil", .is_section = true}, shell.items,
             [&](Item& item, std::size_t i) {
                 visit_fields(item, see);
                 rest_of_item(i);
             });
    see.texts({.key = "answers", .what = "what was asked and answered, where questions made the profile"}, shell.answers);
    visit_fields(shell.learned, see);
}

}  // namespace bakewright::bake
