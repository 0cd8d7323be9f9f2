#include "random_records.hpp"

#include <string>

using namespace bakewright;

namespace random_records {
namespace {

double between(Random& random, double low, double high) { return std::uniform_real_distribution<double>(low, high)(random); }
int up_to(Random& random, int most) { return std::uniform_int_distribution<int>(0, most)(random); }
bool perhaps(Random& random) { return up_to(random, 1) == 1; }

std::optional<double> maybe_between(Random& random, double low, double high) {
    return perhaps(random) ? std::optional(between(random, low, high)) : std::nullopt;
}

std::string text(Random& random) {
    const std::vector<std::string> pieces{"roof",        "60 °C", "\"quoted\"", "back\\slash", "<b>", "it's",
                                          "# no remark", "Größe", "[x]",        "a=b",         "塗装"};
    std::string result = pieces[static_cast<std::size_t>(up_to(random, 10))];
    for (int i = up_to(random, 3); i > 0; --i) result += " " + pieces[static_cast<std::size_t>(up_to(random, 10))];
    return result;
}

std::map<std::string, std::string> sources(Random& random) {
    std::map<std::string, std::string> result;
    for (int i = up_to(random, 3); i > 0; --i) result["key " + text(random)] = text(random);
    return result;
}

std::optional<bake::Spread> maybe_spread(Random& random) {
    if (!perhaps(random)) return std::nullopt;
    const double low = between(random, 0.1, 4.0);
    const double value = low + between(random, 0.0, 4.0);
    return bake::Spread{low, value, value + between(random, 0.0, 4.0)};
}

thermal::HeatLimits heat_limits(Random& random) {
    return {maybe_between(random, 300.0, 330.0), maybe_between(random, 331.0, 400.0)};
}

bake::Layer solid(Random& random, const std::string& material_id) {
    bake::Layer layer;
    layer.material = material(random, material_id);
    layer.thickness_m = between(random, 1e-5, 0.1);
    layer.contact_resistance_m2_k_per_w = perhaps(random) ? between(random, 1e-3, 0.2) : 0.0;
    return layer;
}

bake::Layer gap(Random& random) {
    bake::Layer layer;
    layer.kind = bake::Layer::Kind::air_gap;
    layer.thickness_m = between(random, 1e-3, 0.1);
    return layer;
}

bake::Face face(Random& random) {
    bake::Face face;
    face.view = static_cast<bake::FaceView>(up_to(random, 2));
    if (face.view == bake::FaceView::cavity) face.cavity = "interior";
    face.emissivity = between(random, 0.0, 1.0);
    face.masking = static_cast<bake::Masking>(up_to(random, 2));
    face.film_w_per_m2_k = maybe_between(random, 0.1, 50.0);
    return face;
}

bake::DrawnPlace place(Random& random) {
    return {static_cast<bake::DrawnOn>(up_to(random, 9)), between(random, 0.0, 0.4), between(random, 0.5, 1.0),
            between(random, 0.0, 0.4), between(random, 0.5, 1.0)};
}

/// Materials are drawn anew for every layer, so that one id often stands for different materials.
bake::Zone zone(Random& random, const std::string& name) {
    bake::Zone zone;
    zone.name = name;
    zone.title = perhaps(random) ? text(random) : "";
    zone.role = static_cast<bake::ZoneRole>(up_to(random, 1));
    zone.area_m2 = between(random, 0.01, 40.0);
    zone.height_m = between(random, 0.0, 4.0);
    zone.length_m = between(random, 0.1, 11.0);
    zone.orientation = static_cast<bake::Orientation>(up_to(random, 2));
    zone.layers.push_back(solid(random, "steel"));
    if (perhaps(random)) zone.layers.push_back(gap(random));
    zone.layers.push_back(solid(random, perhaps(random) ? "steel" : ""));
    zone.outer = face(random);
    zone.outer.view = bake::FaceView::booth;
    zone.outer.cavity.clear();
    zone.inner = face(random);
    zone.coated = perhaps(random);
    zone.film_group = perhaps(random) ? "group" : "";
    zone.infrared_absorptance = between(random, 0.0, 1.0);
    zone.start_temperature_k = maybe_between(random, 270.0, 320.0);
    for (int i = up_to(random, 2); i > 0; --i) zone.places.push_back(place(random));
    zone.limits = heat_limits(random);
    zone.limit_source = text(random);
    return zone;
}

bake::Cavity cavity(Random& random) {
    return {"interior",
            between(random, 1.0, 50.0),
            between(random, 0.0, 0.01),
            between(random, 0.0, 1e6),
            between(random, 1.0, 200.0),
            maybe_between(random, 270.0, 320.0),
            heat_limits(random),
            text(random)};
}

void add_item(Random& random, profile::ShellProfile& shell, const std::string& name) {
    bake::Item item;
    item.name = name;
    item.title = perhaps(random) ? text(random) : "";
    item.place = static_cast<bake::Item::Place>(up_to(random, 2));
    if (item.place == bake::Item::Place::zone) item.where = "zone 0";
    if (item.place == bake::Item::Place::cavity) item.where = "interior";
    item.heat_capacity_j_per_k = between(random, 1.0, 1e5);
    item.conductance_w_per_k = between(random, 0.01, 50.0);
    item.start_temperature_k = maybe_between(random, 270.0, 320.0);
    if (item.place == bake::Item::Place::zone && perhaps(random)) item.instead_of = "steel";
    cure::HeatSensitiveItem limits{item.name, item.title, {}, sources(random)};
    for (int i = up_to(random, 2); i >= 0; --i)
        limits.limits.push_back({between(random, 310.0, 370.0), between(random, 0.0, 1e5),
                                 static_cast<cure::ExposureScope>(up_to(random, 1)),
                                 i > 0 && perhaps(random) ? cure::LimitKind::warn : cure::LimitKind::never});
    shell.shell.items.push_back(item);
    shell.item_limits.push_back(limits);
}

bake::Stage stage(Random& random) {
    bake::Stage stage;
    stage.kind = static_cast<bake::StageKind>(up_to(random, 4));
    const bool by_rate = perhaps(random) && (stage.kind == bake::StageKind::ramp || stage.kind == bake::StageKind::cool);
    if (by_rate || perhaps(random)) stage.setpoint_k = between(random, 290.0, 350.0);
    if (by_rate)
        stage.rate_k_per_s = between(random, 0.005, 0.1);
    else
        stage.duration_s = between(random, 1.0, 1e4);
    if (perhaps(random)) stage.infrared = bake::Infrared{{text(random), text(random)}, between(random, 1.0, 2000.0)};
    return stage;
}

}  // namespace

thermal::Material material(Random& random, const std::string& id) {
    thermal::Material material;
    material.id = id;
    material.title = id.empty() ? "" : text(random);
    material.density_kg_per_m3 = between(random, 10.0, 9000.0);
    material.specific_heat_j_per_kg_k = between(random, 100.0, 3000.0);
    material.conductivity_w_per_m_k = between(random, 0.02, 300.0);
    material.emissivity = between(random, 0.0, 1.0);
    material.gauge = static_cast<GaugeSeries>(up_to(random, 4));
    material.sources = sources(random);
    material.limits = heat_limits(random);
    material.is_unharmed = !material.limits.never_k && perhaps(random);
    for (const char* key : {"warn", "never", "unharmed"}) material.sources[key] = text(random);
    return material;
}

cure::ArrheniusRate arrhenius(Random& random) { return {between(random, 1.0, 1e9), between(random, 20e3, 90e3)}; }

cure::Kinetics kinetics(Random& random) {
    cure::Kinetics kinetics;
    if (perhaps(random)) kinetics.first = arrhenius(random);
    if (!kinetics.first || perhaps(random)) kinetics.autocatalytic = {arrhenius(random), between(random, 0.2, 3.0)};
    kinetics.order = between(random, 0.5, 3.0);
    kinetics.start_conversion = between(random, 1e-4, 0.1);
    kinetics.required_conversion = maybe_between(random, 0.5, 0.95);
    kinetics.glass =
        cure::GlassTransition{between(random, 200.0, 280.0), between(random, 300.0, 500.0), between(random, 0.1, 1.0)};
    if (perhaps(random)) kinetics.diffusion = cure::FreeVolumeDiffusion{arrhenius(random), between(random, 0.1, 1.0)};
    if (perhaps(random))
        kinetics.diffusion =
            cure::CriticalConversion{between(random, 1.0, 50.0), between(random, -2.0, 1.0), between(random, 0.0, 0.01)};
    return kinetics;
}

cure::Coating coating(Random& random) {
    cure::Coating coating;
    coating.id = "clear";
    coating.title = text(random);
    coating.basis = static_cast<cure::ScheduleBasis>(up_to(random, 2));
    double temperature_k = between(random, 320.0, 330.0);
    double minimum_s = between(random, 3000.0, 4000.0);
    for (int i = up_to(random, 2); i >= 0; --i) {
        coating.schedule.push_back({temperature_k, minimum_s, {}});
        if (perhaps(random)) coating.schedule.back().maximum_s = minimum_s + 5000.0;
        temperature_k += between(random, 2.0, 10.0);
        minimum_s *= between(random, 0.5, 0.8);
    }
    coating.floor_k = between(random, 300.0, 319.0);
    if (perhaps(random)) coating.absolute_maximum_k = between(random, 365.0, 380.0);
    coating.flash_off_minimum_s = maybe_between(random, 0.0, 900.0);
    coating.sandable_after_s = maybe_between(random, 0.0, 9000.0);
    coating.tape_free_after_s = maybe_between(random, 0.0, 9000.0);
    coating.polish_after_s = maybe_between(random, 0.0, 90000.0);
    if (perhaps(random)) coating.flash_off_maximum_s = between(random, 1000.0, 3000.0);
    coating.largest_heating_rate_k_per_s = maybe_between(random, 0.01, 0.1);
    if (perhaps(random))
        coating.activation_energy =
            cure::ActivationEnergy{between(random, 2e4, 4e4), between(random, 5e4, 6e4), between(random, 7e4, 9e4)};
    coating.beyond_last_row = static_cast<cure::BeyondLastRow>(up_to(random, 1));
    coating.recoat_minimum_s = maybe_between(random, 0.0, 9000.0);
    coating.recoat_maximum_s = maybe_between(random, 9000.0, 90000.0);
    if (perhaps(random)) coating.kinetics = kinetics(random);
    coating.sources = sources(random);
    if (perhaps(random)) {
        coating.cured_below_the_sheet_from_k = between(random, coating.floor_k, 319.9);
        coating.sources["cured_below_the_sheet_from"] = text(random);
    }
    return coating;
}

bake::Learned learned_of_booth(Random& random) {
    bake::Learned learned;
    learned.numbers = {{bake::LearnedKind::group_film, "upright", between(random, 0.5, 2.0), between(random, 0.0, 0.5), {}},
                       {bake::LearnedKind::air_offset, {}, between(random, -5.0, 5.0), between(random, 0.0, 2.0), {}},
                       {bake::LearnedKind::wall_loss, {}, between(random, 0.5, 2.0), between(random, 0.0, 0.5), {}}};
    if (perhaps(random)) learned.numbers[2].correlation = {between(random, -1.0, 1.0), between(random, -1.0, 1.0)};
    learned.from = {text(random)};
    learned.tuned_from = {text(random), text(random)};
    learned.film_spread = maybe_between(random, 0.0, 1.0);
    learned.error_used_k = maybe_between(random, 0.0, 3.0);
    learned.error_held_out_k = maybe_between(random, 0.0, 3.0);
    learned.residual_k = maybe_between(random, 0.0, 3.0);
    learned.residual_time_s = maybe_between(random, 0.0, 3600.0);
    return learned;
}

bake::Booth booth(Random& random) {
    bake::Booth booth;
    booth.id = "booth";
    booth.title = text(random);
    booth.volume_m3 = between(random, 50.0, 600.0);
    booth.ambient_k = between(random, 260.0, 295.0);
    booth.air = static_cast<bake::AirStrength>(up_to(random, 2));
    booth.film_w_per_m2_k = maybe_spread(random);
    if (!booth.film_w_per_m2_k) booth.air_speed_m_per_s = maybe_spread(random);
    booth.wall = static_cast<bake::WallKind>(up_to(random, 1));
    booth.wall_area_m2 = between(random, 50.0, 600.0);
    booth.wall_heat_capacity_j_per_m2_k = between(random, 1e3, 5e4);
    booth.wall_loss_w_per_m2_k = maybe_spread(random);
    booth.wall_offset_k = maybe_between(random, 0.0, 20.0);
    double height_m = between(random, 0.0, 0.5);
    for (int i = up_to(random, 3); i > 0; --i) {
        booth.vertical_profile.push_back({height_m, between(random, -10.0, 10.0)});
        height_m += between(random, 0.1, 1.0);
    }
    booth.reference_rise_k = between(random, 45.0, 60.0);
    booth.reference_temperature_k = between(random, 285.0, 300.0);
    booth.largest_ramp_k_per_s = between(random, 0.01, 0.1);
    booth.highest_setpoint_k = between(random, 330.0, 360.0);
    booth.high_limit_k = maybe_between(random, 361.0, 380.0);
    booth.burner_power_w = between(random, 1e5, 1e6);
    booth.burner_turndown = between(random, 1.0, 40.0);
    booth.controller = {static_cast<bake::Controller::Kind>(up_to(random, 3)),
                        between(random, 1e3, 1e5),
                        between(random, 200.0, 1e3),
                        between(random, 0.5, 5.0),
                        between(random, 1.0, 100.0),
                        between(random, -5.0, 5.0)};
    for (bake::Ventilation& ventilation : booth.ventilation)
        ventilation = {between(random, 0.0, 20.0), between(random, 0.1, 2.0), perhaps(random)};
    booth.purges_by_itself = perhaps(random);
    if (!booth.purges_by_itself) booth.purge_s = maybe_between(random, 60.0, 900.0);
    booth.sources = sources(random);
    if (perhaps(random)) booth.learned = learned_of_booth(random);
    return booth;
}

bake::Cycle cycle(Random& random) {
    bake::Cycle cycle;
    cycle.id = "cycle";
    cycle.title = text(random);
    cycle.start_k = maybe_between(random, 280.0, 300.0);
    for (int i = up_to(random, 4); i >= 0; --i) cycle.stages.push_back(stage(random));
    return cycle;
}

profile::ShellProfile shell(Random& random) {
    profile::ShellProfile profile;
    profile.shell.id = "shell";
    profile.shell.title = text(random);
    for (int i = 0; i < 3; ++i) profile.shell.zones.push_back(zone(random, "zone " + std::to_string(i)));
    profile.shell.links.push_back(
        {"zone 0", "zone 1", between(random, 0.1, 100.0), bake::Link::Side::inner, bake::Link::Side::outer});
    profile.shell.links.push_back(
        {"zone 1", "zone 2", between(random, 0.1, 100.0), bake::Link::Side::outer, bake::Link::Side::inner});
    if (up_to(random, 1) == 1) profile.shell.links.back().bonded = up_to(random, 1) == 1;
    profile.shell.cavities.push_back(cavity(random));
    for (int i = up_to(random, 2); i > 0; --i) add_item(random, profile, "item " + std::to_string(i));
    if (perhaps(random)) profile.shell.learned = learned_of_booth(random);
    if (perhaps(random))
        profile.shell.learned.numbers.push_back(
            {bake::LearnedKind::link, "zone 0 zone 1", between(random, 0.1, 3.0), between(random, 0.0, 0.5), {}});
    return profile;
}

}  // namespace random_records
