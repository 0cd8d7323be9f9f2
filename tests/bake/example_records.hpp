// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/cycle.hpp"
#include "bakewright/bake/shell.hpp"

/// Records the bake tests share. Invented: bare squares of one material, no shell anyone built.
namespace bakewright::example {

/// Mild steel as in the check table: 7850 kg/m3, 470 J/kgK.
[[nodiscard]] inline thermal::Material steel() {
    thermal::Material material;
    material.id = "steel";
    material.density_kg_per_m3 = 7850.0;
    material.specific_heat_j_per_kg_k = 470.0;
    material.conductivity_w_per_m_k = 50.0;
    return material;
}

/// One square metre of one material, outer face to the booth.
[[nodiscard]] inline bake::Zone square(std::string name, thermal::Material material, double thickness_m, double height_m,
                                       double emissivity = 0.9) {
    bake::Zone zone;
    zone.name = std::move(name);
    zone.area_m2 = 1.0;
    zone.height_m = height_m;
    bake::Layer layer;
    layer.material = std::move(material);
    layer.thickness_m = thickness_m;
    zone.layers = {layer};
    zone.outer.emissivity = emissivity;
    return zone;
}

/// A booth with film coefficient 5 W/m2K in every mode, air 8 K hotter at 3 m and 8 K cooler at the floor, and walls 5 K below
/// it.
[[nodiscard]] inline bake::Booth layered_booth() {
    bake::Booth booth;
    booth.id = "layered";
    booth.film_w_per_m2_k = bake::Spread{5.0, 5.0, 5.0};
    booth.vertical_profile = {{0.0, -8.0}, {1.5, 0.0}, {3.0, 8.0}};
    booth.wall_offset_k = 5.0;
    return booth;
}

[[nodiscard]] inline bake::Stage stage(bake::StageKind kind, std::optional<double> setpoint_c, double duration_min) {
    bake::Stage made;
    made.kind = kind;
    if (setpoint_c) made.setpoint_k = celsius_to_kelvin(*setpoint_c);
    made.duration_s = minutes_to_seconds(duration_min);
    return made;
}

/// Air 20 to 65 degC in 15 min, held to minute 60, cooled to 25 degC in 10, then 80 min of cool air.
[[nodiscard]] inline bake::Cycle hour_at_65() {
    using bake::StageKind;
    bake::Cycle cycle;
    cycle.id = "hour_at_65";
    cycle.stages = {stage(StageKind::ramp, 65.0, 15.0), stage(StageKind::hold, std::nullopt, 45.0),
                    stage(StageKind::cool, 25.0, 10.0), stage(StageKind::cool, std::nullopt, 80.0)};
    return cycle;
}

}  // namespace bakewright::example
