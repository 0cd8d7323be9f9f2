// SPDX-License-Identifier: Apache-2.0
#include "networks.hpp"

#include <array>
#include <string>

#include "bakewright/bake/build_network.hpp"
#include "bakewright/profile/library.hpp"
#include "bakewright/profile/read.hpp"

namespace bakewright::bench {
namespace {

thermal::Material material(double density, double specific_heat, double conductivity) {
    thermal::Material made;
    made.density_kg_per_m3 = density;
    made.specific_heat_j_per_kg_k = specific_heat;
    made.conductivity_w_per_m_k = conductivity;
    return made;
}

bake::Layer layer(const thermal::Material& of, double thickness_m) {
    bake::Layer made;
    made.material = of;
    made.thickness_m = thickness_m;
    return made;
}

bake::Layer air_gap(double width_m) {
    bake::Layer made;
    made.kind = bake::Layer::Kind::air_gap;
    made.thickness_m = width_m;
    return made;
}

/// Eight kinds of zone, one after the other.
std::vector<bake::Layer> stack(std::size_t kind) {
    const thermal::Material steel = material(7850, 470, 50), aluminium = material(2700, 900, 160);
    const thermal::Material laminate = material(1800, 1100, 0.25), foam = material(45, 1400, 0.03);
    switch (kind % 8) {
        case 0:
            return {layer(steel, 1e-3)};
        case 1:
            return {layer(laminate, 6e-3)};
        case 2:
            return {layer(steel, 3e-3)};
        case 3:
            return {layer(laminate, 2e-3), layer(foam, 25e-3), layer(laminate, 2e-3)};
        case 4:
            return {layer(steel, 1e-3), air_gap(0.03), layer(steel, 0.8e-3)};
        case 5:
            return {layer(aluminium, 2e-3)};
        case 6:
            return {layer(steel, 6e-3)};
        default:
            return {layer(laminate, 10e-3)};
    }
}

bake::Zone generated_zone(std::size_t number) {
    bake::Zone zone;
    zone.name = "zone " + std::to_string(number);
    zone.area_m2 = 0.5 + 0.37 * static_cast<double>(number % 11);
    zone.height_m = 0.3 + 0.29 * static_cast<double>(number % 10);
    zone.length_m = 0.4 + 0.21 * static_cast<double>(number % 7);
    zone.orientation = std::array{bake::Orientation::vertical, bake::Orientation::vertical, bake::Orientation::faces_up,
                                  bake::Orientation::vertical, bake::Orientation::faces_down}[number % 5];
    zone.layers = stack(number);
    zone.inner.view = number % 3 == 2 ? bake::FaceView::nothing : bake::FaceView::cavity;
    zone.inner.cavity = zone.inner.view == bake::FaceView::cavity ? "cavity " + std::to_string(number / 12) : "";
    zone.outer.masking = number % 13 == 5 ? bake::Masking::paper : bake::Masking::none;
    return zone;
}

bake::Shell generated_shell(std::size_t zone_count) {
    bake::Shell shell;
    shell.id = "generated";
    for (std::size_t i = 0; i < zone_count; ++i) shell.zones.push_back(generated_zone(i));
    for (std::size_t i = 0; i + 1 < zone_count; ++i)
        shell.links.push_back({shell.zones[i].name, shell.zones[i + 1].name, 0.5 + 0.8 * static_cast<double>(i % 5)});
    for (std::size_t i = 0; i <= (zone_count - 1) / 12; ++i) {
        bake::Cavity cavity;
        cavity.name = "cavity " + std::to_string(i);
        cavity.volume_m3 = 6.0;
        cavity.leakage_per_s = 1.0 / 1800.0;
        shell.cavities.push_back(cavity);
    }
    return shell;
}

bake::Booth generated_booth(std::size_t zone_count) {
    bake::Booth booth = profile::load_booth("stirred_insulated", profile::Library({BAKEWRIGHT_PROFILES})).record;
    booth.controller.kind = bake::Controller::Kind::proportional_integral;
    booth.high_limit_k.reset();
    booth.air_speed_m_per_s = bake::Spread{0.5, 0.8, 1.2};
    booth.burner_power_w = 110e3 + 0.7e3 * static_cast<double>(zone_count);
    return booth;
}

bake::Cycle four_hours() {
    bake::Cycle cycle;
    cycle.id = "four_hours";
    const auto add = [&](bake::StageKind kind, double setpoint_c, double minutes) {
        bake::Stage stage;
        stage.kind = kind;
        stage.setpoint_k = celsius_to_kelvin(setpoint_c);
        stage.duration_s = minutes_to_seconds(minutes);
        cycle.stages.push_back(stage);
    };
    add(bake::StageKind::flash_off, 22.0, 15.0);
    add(bake::StageKind::ramp, 45.0, 20.0);
    add(bake::StageKind::hold, 45.0, 20.0);
    add(bake::StageKind::ramp, 65.0, 15.0);
    add(bake::StageKind::hold, 65.0, 110.0);
    add(bake::StageKind::cool, 22.0, 60.0);
    return cycle;
}

Bake built(const bake::Shell& shell, const bake::Booth& booth, const bake::Cycle& cycle) {
    const std::vector<bake::ResolvedStage> stages = bake::resolve(cycle, booth);
    Bake made;
    made.built = bake::build_network(shell, booth, {}, bake::booth_air_of(booth), stages.front().begin_k);
    made.segments = bake::cycle_segments(made.built, booth, cycle, stages, 0.0);
    return made;
}

}  // namespace

Bake demo_bake() {
    const profile::Library library({BAKEWRIGHT_PROFILES});
    bake::Booth booth = profile::load_booth("stirred_insulated", library).record;
    booth.wall_offset_k.reset();  // walls, ceiling and floor by their balances
    return built(profile::load_shell("library_van", library).record.shell, booth,
                 profile::load_cycle("clear_60", library).record);
}

Bake generated_bake(std::size_t zone_count) {
    return built(generated_shell(zone_count), generated_booth(zone_count), four_hours());
}

}  // namespace bakewright::bench
