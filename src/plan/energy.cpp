#include "energy.hpp"

#include <algorithm>

#include "bakewright/thermal/air.hpp"

namespace bakewright::plan {
namespace {

using bake::Booth;
using bake::ResolvedStage;

/// Heat that fresh air of the booth's ambient takes up in a stage: its flow, density and heat capacity, and the mean rise.
double fresh_air_j(const Booth& booth, const ResolvedStage& stage) {
    const double flow_m3_per_s = booth.ventilation[static_cast<std::size_t>(bake::fan_mode_of(stage.kind))].make_up_m3_per_s;
    const thermal::AirProperties fresh = thermal::air_properties(booth.ambient_k);
    const double mean_rise_k = std::max(0.5 * (stage.begin_k + stage.end_k) - booth.ambient_k, 0.0);
    return flow_m3_per_s * fresh.density_kg_per_m3 * fresh.specific_heat_j_per_kg_k * mean_rise_k * (stage.end_s - stage.begin_s);
}

/// The walls of air that is given follow it at the booth's own distance.
double wall_k(const Booth& booth, double air_k) {
    return air_k - booth.wall_offset_below_air_k() * (air_k - booth.ambient_k) / booth.rise_of_full_offset_k();
}

double wall_loss_j(const Booth& booth, const ResolvedStage& stage) {
    const double mean_k = wall_k(booth, 0.5 * (stage.begin_k + stage.end_k));
    return booth.wall_loss().value * booth.wall_area_m2 * std::max(mean_k - booth.ambient_k, 0.0) * (stage.end_s - stage.begin_s);
}

Energy of_given_air(const Booth& booth, const bake::Cycle& cycle, double begin_of_cool_s, double shell_j) {
    Energy energy;
    energy.shell_j = energy.total_j = shell_j;
    if (booth.ventilation[static_cast<std::size_t>(bake::FanMode::bake)].make_up_m3_per_s <= 0.0) return energy;
    energy.counts = Energy::Counts::shell_walls_and_air;
    double hottest_k = booth.ambient_k;
    for (const ResolvedStage& stage : bake::resolve(cycle, booth)) {
        if (stage.begin_s >= begin_of_cool_s - 1e-6) break;
        energy.fresh_air_j += fresh_air_j(booth, stage);
        energy.walls_j += wall_loss_j(booth, stage);
        hottest_k = std::max(hottest_k, stage.end_k);
    }
    // Walls and booth air are warmed once.
    const thermal::AirProperties air = thermal::air_properties(booth.ambient_k);
    energy.walls_j += booth.wall_heat_capacity_j_per_m2_k * booth.wall_area_m2 * (wall_k(booth, hottest_k) - booth.ambient_k);
    energy.fresh_air_j += booth.volume_m3 * air.density_kg_per_m3 * air.specific_heat_j_per_kg_k * (hottest_k - booth.ambient_k);
    energy.total_j += energy.walls_j + energy.fresh_air_j;
    return energy;
}

Energy of_burner(const bake::BoothRun& run) {
    return {Energy::Counts::burner, run.burner_j, run.shell_j, run.wall_loss_j, run.fresh_air_j};
}

}  // namespace

Energy energy_of(const SetpointRun& run, const Settings& set) {
    const BakeModel& model = run.model();
    const double begin_of_cool_s = model.shape().begin_of_cool_s(set);
    const bake::Cycle cycle = model.shape().cycle(set, kFollowedCoolS);
    if (model.can_go_on()) return of_given_air(model.task().booth, cycle, begin_of_cool_s, run.stored_j());
    // A burner's heat is in the accounts of a whole prediction.
    return of_burner(*bake::predict(model.task().shell, model.task().booth, cycle, model.options().predict).summary.booth);
}

}  // namespace bakewright::plan
