// SPDX-License-Identifier: Apache-2.0
#include "bakewright/bake/predict.hpp"

#include <iostream>

#include "bakewright/base/format.hpp"

// Invented shell: one square metre of 1.2 mm sheet. Steel's properties are common practice.
namespace {

namespace bake = bakewright::bake;

bake::Shell one_sheet() {
    bake::Zone roof;
    roof.name = "roof";
    roof.area_m2 = 1.0;
    bake::Layer sheet;
    sheet.material = {.id = "steel",
                      .title = "steel",
                      .density_kg_per_m3 = 7850.0,
                      .specific_heat_j_per_kg_k = 470.0,
                      .conductivity_w_per_m_k = 50.0,
                      .emissivity = 0.9,
                      .gauge = {},
                      .sources = {}};
    sheet.thickness_m = 0.0012;
    roof.layers = {sheet};
    bake::Shell shell;
    shell.id = "sheet";
    shell.zones = {roof};
    return shell;
}

bake::Cycle one_hour_at(double setpoint_k) {
    bake::Stage ramp;
    ramp.kind = bake::StageKind::ramp;
    ramp.setpoint_k = setpoint_k;
    ramp.rate_k_per_s = 2.0 / 60.0;
    bake::Stage hold;
    hold.duration_s = 3600.0;
    bake::Cycle cycle;
    cycle.id = "cycle";
    cycle.stages = {ramp, hold};
    return cycle;
}

}  // namespace

bool prediction_is_plausible();

/// A thin sheet comes within a few kelvin of the booth's set point in an hour and never passes it.
bool prediction_is_plausible() {
    constexpr double kSetpointK = 333.15;
    const bake::Prediction prediction = bake::predict(one_sheet(), bake::Booth{}, one_hour_at(kSetpointK));
    const bakewright::Trace* const roof = prediction.traces.find("roof");
    if (roof == nullptr || roof->size() == 0) return false;
    const double last_k = roof->temperature_k.back();
    std::cout << bakewright::format_temperature(last_k, {}) << '\n';
    return last_k > kSetpointK - 10.0 && last_k <= kSetpointK;
}
