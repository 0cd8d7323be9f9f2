// SPDX-License-Identifier: Apache-2.0
#include "small_shop.hpp"

#include <algorithm>

#include "bakewright/bake/predict.hpp"
#include "bakewright/thermal/ensemble.hpp"

namespace bakewright::test {
namespace {

bake::Zone skin(const std::string& name, double thickness_m, double height_m) {
    bake::Zone zone;
    zone.name = name;
    zone.area_m2 = 4.0;
    zone.height_m = height_m;
    zone.length_m = 2.0;
    bake::Layer layer;
    layer.material.id = "mild_steel";
    layer.material.density_kg_per_m3 = 7850.0;
    layer.material.specific_heat_j_per_kg_k = 470.0;
    layer.material.conductivity_w_per_m_k = 50.0;
    layer.material.emissivity = 0.9;
    layer.thickness_m = thickness_m;
    zone.layers = {layer};
    return zone;
}

}  // namespace

bake::Shell small_shell() {
    bake::Shell shell;
    shell.id = "small";
    shell.zones = {skin("upper", 0.0012, 2.0), skin("lower", 0.0012, 1.0), skin("door", 0.0020, 1.5), skin("frame", 0.0060, 0.5)};
    shell.links = {{"lower", "frame", 8.0}};
    return shell;
}

bake::Booth small_booth() {
    bake::Booth booth;
    booth.id = "small_booth";
    booth.vertical_profile = {{0.0, -4.0}, {2.5, 4.0}};
    booth.wall_offset_k = 5.0;  // measured: what lies under the air is one number
    return booth;
}

bake::Cycle small_cycle(double setpoint_k) {
    bake::Cycle cycle;
    cycle.id = "small_cycle";
    using bake::StageKind;
    cycle.stages = {{StageKind::flash_off, celsius_to_kelvin(22.0), 600.0, {}, {}},
                    {StageKind::ramp, setpoint_k, 1200.0, {}, {}},
                    {StageKind::hold, setpoint_k, 2400.0, {}, {}},
                    {StageKind::cool, celsius_to_kelvin(25.0), 1200.0, {}, {}}};
    return cycle;
}

tune::LoggedBake logged(const std::string& name, const bake::Shell& truth, const bake::Booth& booth, const LogMaking& making) {
    tune::LoggedBake bake;
    bake.name = name;
    bake.cycle = small_cycle(making.setpoint_k);
    bake::PredictOptions options;
    options.output_interval_s = making.interval_s;
    options.start_temperature_k = booth.ambient_k;
    bake.traces = bake::predict(truth, booth, *bake.cycle, options).traces;
    std::erase_if(bake.traces.traces, [](const Trace& trace) { return trace.role == TraceRole::booth_wall; });
    std::size_t stream = 0;
    for (Trace& trace : bake.traces.traces) {
        std::vector<double> normal(trace.size() + 1);
        thermal::draw_normals(making.seed, stream++, normal);
        const double offset_k = trace.role == TraceRole::booth_air ? 0.0 : making.offset_standard_k * normal.back();
        const double noise_k = trace.role == TraceRole::booth_air ? 0.0 : making.noise_k;
        for (std::size_t i = 0; i < trace.size(); ++i) trace.temperature_k[i] += offset_k + noise_k * normal[i];
    }
    return bake;
}

Trace& channel(tune::LoggedBake& bake, const std::string& name) {
    return *std::find_if(bake.traces.traces.begin(), bake.traces.traces.end(),
                         [&](const Trace& trace) { return trace.name == name; });
}

const tune::TunedNumber* number(const tune::TuneResult& result, bake::LearnedKind kind, const std::string& subject) {
    const auto found = std::find_if(result.numbers.begin(), result.numbers.end(), [&](const tune::TunedNumber& one) {
        return one.learned.kind == kind && one.learned.subject == subject;
    });
    return found == result.numbers.end() ? nullptr : &*found;
}

}  // namespace bakewright::test
