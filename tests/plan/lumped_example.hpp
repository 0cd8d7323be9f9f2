// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "bakewright/base/units.hpp"
#include "bakewright/plan/plan.hpp"

namespace bakewright::plan {

/// One square metre of 1 mm steel in a booth whose walls are as warm as its air; invented.
struct Example {
    bake::Shell shell;
    bake::Booth booth;
    cure::Coating coating;
    std::vector<cure::HeatSensitiveItem> items;

    Example() {
        shell.id = "square";
        bake::Zone zone;
        zone.name = "skin";
        zone.area_m2 = 1.0;
        zone.outer.emissivity = 0.0;
        bake::Layer layer;
        layer.material.density_kg_per_m3 = 7850.0;
        layer.material.specific_heat_j_per_kg_k = 470.0;
        layer.material.conductivity_w_per_m_k = 50.0;
        layer.thickness_m = 1e-3;
        zone.layers = {layer};
        shell.zones = {zone};
        booth.id = "plain";
        booth.film_w_per_m2_k = bake::Spread{10.0, 10.0, 10.0};
        booth.wall_offset_k = 0.0;
        coating.id = "clear";
        coating.basis = cure::ScheduleBasis::part;
        coating.schedule = {{celsius_to_kelvin(60.0), minutes_to_seconds(30.0), {}}};
        coating.flash_off_minimum_s = 0.0;  // the sheet says that none is asked for
    }
    [[nodiscard]] PlanTask task() const { return {shell, booth, coating, items}; }
};

/// Set points from one to another [degC].
inline PlanOptions set_between(double lowest_c, double highest_c) {
    PlanOptions options;
    options.lowest_setpoint_k = celsius_to_kelvin(lowest_c);
    options.highest_setpoint_k = celsius_to_kelvin(highest_c);
    return options;
}

inline PlanOptions only_at(double setpoint_c) { return set_between(setpoint_c, setpoint_c); }

}  // namespace bakewright::plan
