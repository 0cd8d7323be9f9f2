#include "bakewright/thermal/tabulated_gap.hpp"

#include <cmath>

namespace bakewright::thermal {
namespace {

using table::Curve;

Curve curve_of(GapModel::Lie lie, bool outer_warmer) noexcept {
    if (lie == GapModel::Lie::vertical) return Curve::gap_vertical;
    return (lie == GapModel::Lie::outer_below) == outer_warmer ? Curve::gap_driving : Curve::gap_hindering;
}

}  // namespace

TabulatedGap::TabulatedGap(const GapModel& model) {
    ensure(problems_in(model).empty(), "a gap model is checked before it is tabulated");
    const table::CubicRow* warmer = table::curve_rows(curve_of(model.lie, true));
    const table::CubicRow* cooler = table::curve_rows(curve_of(model.lie, false));
    warmer_rows_ = warmer->data();
    single_curves_ = &table::single_curves(curve_of(model.lie, true));
    single_warmer_ = table::first_row(curve_of(model.lie, true));
    cooler_offset_ = cooler - warmer;
    if (model.lie == GapModel::Lie::vertical) {
        aspect_rows_ = table::curve_rows(Curve::gap_aspect)->data();
        aspect_factor_ = std::pow(model.width_m / model.height_m, 0.272);
    }
    air_ = table::air_rows(table::Buoyancy::plain);
    single_air_ = &table::single_air(table::Buoyancy::plain);
    inverse_width_per_m_ = 1.0 / model.width_m;
    const double rayleigh_factor = std::pow(model.width_m, 3) * std::pow(model.pressure_pa / kStandardPressurePa, 2);
    buoyancy_factor_ = rayleigh_factor * rayleigh_factor;
}

double TabulatedGap::coefficient_w_per_m2_k(double outer_k, double inner_k) const {
    Value<double> value;
    evaluate(outer_k, inner_k, value);
    return value.coefficient_w_per_m2_k;
}

}  // namespace bakewright::thermal
