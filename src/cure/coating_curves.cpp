#include "bakewright/cure/coating_curves.hpp"

namespace bakewright::cure {
namespace {

CurveBand curve_band(const std::vector<SchedulePoint>& points, const ActivationEnergy& energy, double floor_k,
                     BeyondLastPoint beyond) {
    return {RequiredTime(points, energy.low_j_per_mol, floor_k, beyond),
            RequiredTime(points, energy.value_j_per_mol, floor_k, beyond),
            RequiredTime(points, energy.high_j_per_mol, floor_k, beyond)};
}

BeyondLastPoint beyond(const Coating& coating) {
    return coating.beyond_last_row == BeyondLastRow::counts_as_last_row ? BeyondLastPoint::keep_rate : BeyondLastPoint::nothing;
}

std::optional<CurveBand> maximum_band(const Coating& coating, const ActivationEnergy& energy) {
    const std::vector<SchedulePoint> points = maximum_points(coating);
    if (points.empty()) return std::nullopt;
    return curve_band(points, energy, coating.floor_k, BeyondLastPoint::go_on);
}

}  // namespace

CoatingCurves::CoatingCurves(const Coating& from)
    : coating(from),
      window(from),
      chosen(choose_activation_energy(from)),
      minimum(curve_band(minimum_points(from), chosen.energy, from.floor_k, beyond(from))),
      most(curve_band(minimum_points(from), chosen.energy, from.floor_k, BeyondLastPoint::keep_rate)),
      maximum(maximum_band(from, chosen.energy)) {}

}  // namespace bakewright::cure
