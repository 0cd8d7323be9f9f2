// SPDX-License-Identifier: Apache-2.0
#include "random_bakes.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include "bakewright/base/units.hpp"

namespace bakewright::example {
namespace {

using namespace bakewright::bake;

constexpr int kSeldom = 12;  // one number in so many is drawn over the whole of its range

}  // namespace

double RandomRecords::number(double least, double low, double high, double most) {
    const bool is_whole = is_wide_ && one_in(kSeldom);
    if (is_whole && one_in(4)) return one_in(2) ? least : most;
    const double from = is_whole ? least : low, to = is_whole ? most : high;
    return from > 0.0 ? std::exp(between(std::log(from), std::log(to))) : between(from, to);
}

Layer RandomRecords::layer(bool may_be_gap) {
    Layer made;
    if (may_be_gap && one_in(4)) {
        made.kind = Layer::Kind::air_gap;
        made.thickness_m = number(1e-6, 2e-3, 0.1, 1.0);
        return made;
    }
    made.material.id = "m";
    made.material.density_kg_per_m3 = number(1.0, 30.0, 8000.0, 25e3);
    made.material.specific_heat_j_per_kg_k = number(50.0, 400.0, 2500.0, 10e3);
    made.material.conductivity_w_per_m_k = number(0.005, 0.03, 200.0, 2000.0);
    made.material.emissivity = number(0.0, 0.1, 0.95, 1.0);
    made.thickness_m = number(1e-6, 5e-4, 0.03, 1.0);
    made.contact_resistance_m2_k_per_w = one_in(5) ? number(1e-12, 1e-4, 0.1, 1e3) : 0.0;
    return made;
}

Face RandomRecords::face(const Shell& shell, bool must_see) {
    Face made;
    made.view = must_see ? FaceView::booth : static_cast<FaceView>(up_to(2));
    if (made.view == FaceView::cavity && shell.cavities.empty()) made.view = FaceView::nothing;
    if (made.view == FaceView::cavity)
        made.cavity = shell.cavities[static_cast<std::size_t>(up_to(static_cast<int>(shell.cavities.size()) - 1))].name;
    made.emissivity = number(0.0, 0.1, 0.95, 1.0);
    made.masking = one_in(6) ? static_cast<Masking>(up_to(2)) : Masking::none;
    if (one_in(8)) made.film_w_per_m2_k = number(0.01, 2.0, 20.0, 1000.0);
    return made;
}

Zone RandomRecords::zone(const Shell& shell, std::size_t index) {
    Zone made;
    made.name = "zone " + std::to_string(index);
    made.area_m2 = number(1e-6, 0.05, 20.0, 1e4);
    made.height_m = number(0.0, 0.0, 4.0, 30.0);
    made.length_m = number(1e-3, 0.1, 11.0, 100.0);
    made.orientation = static_cast<Orientation>(up_to(2));
    made.layers.push_back(layer(false));
    for (int more = one_in(2) ? up_to(is_wide_ && one_in(20) ? 18 : 2) : 0; more > 0; --more) {
        made.layers.push_back(layer(made.layers.back().kind == Layer::Kind::solid));
        if (made.layers.back().kind == Layer::Kind::air_gap) made.layers.push_back(layer(false));
    }
    made.layers.resize(std::min<std::size_t>(made.layers.size(), 19));
    if (made.layers.back().kind == Layer::Kind::air_gap) made.layers.pop_back();
    made.outer = face(shell, true);
    made.inner = face(shell, false);
    made.infrared_absorptance = between(0.0, 1.0);
    if (one_in(4)) made.start_temperature_k = is_wide_ ? temperature_k(-40.0, 250.0) : temperature_k(-10.0, 60.0);
    return made;
}

Shell RandomRecords::shell(std::size_t most_zones) {
    Shell made;
    made.id = made.title = "random";
    for (int i = up_to(2); i > 0; --i)
        made.cavities.push_back({"cavity " + std::to_string(i),
                                 number(1e-5, 0.5, 40.0, 1e4),
                                 one_in(2) ? number(1e-6, 1e-4, 0.01, 1.0) : 0.0,
                                 one_in(2) ? number(1e-3, 1e3, 1e6, 1e9) : 0.0,
                                 number(1e-6, 1.0, 200.0, 1e6),
                                 {}});
    const auto zones = static_cast<std::size_t>(std::exp(between(0.0, std::log(static_cast<double>(most_zones) + 0.99))));
    for (std::size_t i = 0; i < zones; ++i) made.zones.push_back(zone(made, i));
    const auto any = [&](std::size_t count) { return static_cast<std::size_t>(up_to(static_cast<int>(count) - 1)); };
    for (std::size_t i = 0; zones > 1 && i < any(2 * zones); ++i) {
        const std::size_t from = any(zones), to = any(zones);
        if (from == to) continue;
        made.links.push_back({made.zones[from].name, made.zones[to].name, number(1e-6, 0.1, 50.0, 1e6),
                              static_cast<Link::Side>(up_to(1)), static_cast<Link::Side>(up_to(1))});
    }
    for (std::size_t i = any(4); i > 0; --i) {
        Item item;
        item.name = "item " + std::to_string(i);
        item.place = made.cavities.empty() ? Item::Place::booth : Item::Place::cavity;
        item.where = made.cavities.empty() ? "" : made.cavities.front().name;
        if (one_in(3)) item.place = Item::Place::zone, item.where = made.zones[any(zones)].name;
        item.heat_capacity_j_per_k = number(1e-3, 100.0, 1e5, 1e9);
        item.conductance_w_per_k = number(1e-6, 0.1, 50.0, 1e6);
        made.items.push_back(item);
    }
    return made;
}

Booth RandomRecords::booth() {
    Booth made;
    made.id = made.title = "random";
    made.volume_m3 = number(0.01, 20.0, 600.0, 1e5);
    made.ambient_k = is_wide_ ? temperature_k(-40.0, 50.0) : temperature_k(-15.0, 35.0);
    made.air = static_cast<AirStrength>(up_to(2));
    const double film = number(1e-3, 2.0, 12.0, 100.0), speed = number(1e-3, 0.1, 3.0, 30.0);
    if (one_in(4))
        made.film_w_per_m2_k = Spread{film, film, film};
    else if (one_in(4))
        made.air_speed_m_per_s = Spread{speed, speed, speed};
    made.wall = static_cast<WallKind>(up_to(1));
    made.wall_area_m2 = number(0.01, 30.0, 500.0, 1e5);
    made.wall_heat_capacity_j_per_m2_k = number(10.0, 2e3, 4e4, 1e7);
    const double loss = number(1e-6, 0.3, 8.0, 100.0);
    if (one_in(3)) made.wall_loss_w_per_m2_k = Spread{loss, loss, loss};
    if (one_in(3)) made.wall_offset_k = between(0.0, 40.0);
    double height_m = 0.0;
    for (int rows = up_to(3); rows > 0; --rows) {
        made.vertical_profile.push_back({height_m, between(-15.0, 15.0)});
        height_m += between(0.3, 2.0);
    }
    if (one_in(2)) made.reference_temperature_k = made.ambient_k + between(-10.0, 10.0);
    made.reference_rise_k = between(25.0, 80.0);
    made.largest_ramp_k_per_s = number(0.001, 0.5, 10.0, 60.0) / 60.0;
    made.highest_setpoint_k = is_wide_ ? temperature_k(60.0, 250.0) : temperature_k(60.0, 90.0);
    if (one_in(3)) made.high_limit_k = made.highest_setpoint_k + between(0.0, 30.0);
    made.burner_power_w = number(10.0, 2e4, 8e5, 1e8);
    Controller& controller = made.controller;
    controller.kind = static_cast<Controller::Kind>(up_to(3));
    if (one_in(2)) {
        controller.gain_w_per_k = number(0.1, 1e3, 1e5, 1e7);
        controller.sensor_time_constant_s = number(0.1, 2.0, 100.0, 3600.0);
        controller.integral_time_s = number(1.0, 2.0 * controller.sensor_time_constant_s, 1e3, 86400.0);
        controller.band_k = number(0.05, 0.5, 6.0, 50.0);
        controller.sensor_offset_k = one_in(2) ? between(-20.0, 20.0) : 0.0;
    }
    for (Ventilation& mode : made.ventilation)
        mode = {one_in(3) ? 0.0 : number(0.0, 0.1, 20.0, 1e3), number(0.01, 0.4, 1.5, 10.0), !one_in(3)};
    made.floor = static_cast<FloorKind>(up_to(1));
    if (one_in(2))
        made.size = BoothSize{number(0.1, 3.0, 30.0, 200.0), number(0.1, 2.0, 8.0, 200.0), number(0.1, 2.0, 6.0, 200.0)};
    return made;
}

Stage RandomRecords::stage(const Booth& booth, double& now_k) {
    Stage made;
    made.kind = static_cast<StageKind>(up_to(4));
    const bool may_go = made.kind == StageKind::ramp || made.kind == StageKind::cool;
    const double to_k = one_in(5) ? booth.ambient_k : between(booth.ambient_k, booth.highest_setpoint_k);
    if (may_go && one_in(2)) {
        made.setpoint_k = to_k;
        made.rate_k_per_s = booth.largest_ramp_k_per_s * between(0.2, 1.0);
    } else {
        made.duration_s = number(1.0, 60.0, 7200.0, 1.5e5);
        const double longest_rise_k = booth.largest_ramp_k_per_s * *made.duration_s;
        if (one_in(2)) made.setpoint_k = std::max(std::min(to_k, now_k + longest_rise_k), booth.ambient_k);
    }
    now_k = made.setpoint_k.value_or(now_k);
    return made;
}

Cycle RandomRecords::cycle(const Booth& booth, const Shell& shell) {
    Cycle made;
    made.id = made.title = "random";
    if (one_in(4)) made.start_k = is_wide_ ? temperature_k(-40.0, 60.0) : temperature_k(-10.0, 40.0);
    double now_k = made.start_k.value_or(booth.ambient_k);
    const int count = is_wide_ && one_in(50) ? 300 : 1 + up_to(7);
    for (int i = 0; i < count; ++i) made.stages.push_back(stage(booth, now_k));
    if (one_in(8)) made.stages.back().infrared = Infrared{{shell.zones.front().name}, number(0.1, 100.0, 2e4, 1e5)};
    return made;
}

RandomBake random_bake(std::uint64_t seed, Drawn drawn, std::size_t most_zones) {
    RandomRecords records(seed, drawn);
    // Seldom a large shell: most of what there is to find is found by small ones.
    const std::size_t most = records.one_in(25) ? most_zones : std::min<std::size_t>(most_zones, 12);
    RandomBake made{records.shell(most), records.booth(), {}, 0.0};
    made.cycle = records.cycle(made.booth, made.shell);
    made.start_temperature_k =
        drawn == Drawn::to_the_limits ? records.temperature_k(-40.0, 100.0) : records.temperature_k(-10.0, 40.0);
    return made;
}

}  // namespace bakewright::example
