// SPDX-License-Identifier: Apache-2.0
#include "tabulated_film.hpp"

#include <cmath>

namespace bakewright::thermal {
namespace {

using Lie = FilmModel::Lie;
using table::Curve;

constexpr double kSlopeStepK = 1e-3;

double forced_slope(const FilmModel& model, double film_k) {
    return (forced_coefficient_w_per_m2_k(model, film_k + kSlopeStepK) -
            forced_coefficient_w_per_m2_k(model, film_k - kSlopeStepK)) /
           (2.0 * kSlopeStepK);
}

Curve warmer_curve(bool looks_up) noexcept { return looks_up ? Curve::horizontal_driving : Curve::horizontal_hindering; }
Curve cooler_curve(bool looks_up) noexcept { return warmer_curve(!looks_up); }

std::shared_ptr<const TabulatedFilm::ForcedRows> make_forced_rows(const FilmModel& model) {
    auto rows = std::make_shared<TabulatedFilm::ForcedRows>();
    double begin = forced_coefficient_w_per_m2_k(model, table::kLowestFilmK);
    double begin_slope = forced_slope(model, table::kLowestFilmK) * table::kFilmStepK;
    for (std::size_t s = 0; s < table::kFilmSegments; ++s) {
        const double end_k = table::kLowestFilmK + static_cast<double>(s + 1) * table::kFilmStepK;
        const double end = forced_coefficient_w_per_m2_k(model, end_k);
        const double end_slope = forced_slope(model, end_k) * table::kFilmStepK;
        rows->rows[s] = table::hermite_row(begin, begin_slope, end, end_slope, 1.0);
        begin = end;
        begin_slope = end_slope;
    }
    rows->single = table::single_columns(rows->rows);
    return rows;
}

/// What of a model its forced part by speed depends on; the rest as it is by default.
FilmModel forced_part_of(const FilmModel& model) {
    FilmModel part;
    if (model.lie == Lie::cylinder_across) {
        part.lie = model.lie;
        part.height_m = model.height_m;
    } else {
        part.stream_length_m = model.stream_length_m;
    }
    part.speed_m_per_s = model.speed_m_per_s;
    part.critical_reynolds = model.critical_reynolds;
    part.pressure_pa = model.pressure_pa;
    return part;
}

}  // namespace

TabulatedFilm::ForcedTables::ForcedTables() = default;
TabulatedFilm::ForcedTables::~ForcedTables() = default;

std::shared_ptr<const TabulatedFilm::ForcedRows> TabulatedFilm::ForcedTables::of(const FilmModel& model) {
    const FilmModel part = forced_part_of(model);
    for (const Entry& entry : entries_)
        if (entry.model == part) return entry.rows;
    entries_.push_back({part, make_forced_rows(part)});
    return entries_.back().rows;
}

TabulatedFilm::TabulatedFilm(const TabulatedFilm&) = default;
TabulatedFilm::TabulatedFilm(TabulatedFilm&&) noexcept = default;
TabulatedFilm& TabulatedFilm::operator=(const TabulatedFilm&) = default;
TabulatedFilm& TabulatedFilm::operator=(TabulatedFilm&&) noexcept = default;
TabulatedFilm::~TabulatedFilm() = default;

TabulatedFilm::TabulatedFilm(const FilmModel& model) {
    ForcedTables own;
    *this = TabulatedFilm(model, own);
}

TabulatedFilm::TabulatedFilm(const FilmModel& model, ForcedTables& shared)
    : sign_(model.combination == FlowCombination::opposing ? -1.0 : 1.0), multiplier_(model.multiplier) {
    ensure(problems_in(model).empty(), "a film model is checked before it is tabulated");
    if (model.natural) add_naturals(model);
    add_forced(model, shared);
}

TabulatedFilm::Natural TabulatedFilm::natural(Curve warmer, Curve cooler, double length_m, double gravity_share,
                                              double pressure_pa) {
    Natural part;
    const table::CubicRow* warmer_rows = table::curve_rows(warmer);
    const table::CubicRow* cooler_rows = table::curve_rows(cooler);
    part.warmer_rows = warmer_rows->data();
    part.cooler_offset = cooler_rows - warmer_rows;
    part.air = table::air_rows(table::buoyancy_of(warmer));
    part.single_curves = &table::single_curves(warmer);
    part.single_warmer = table::first_row(warmer);
    part.single_air = &table::single_air(table::buoyancy_of(warmer));
    part.inverse_length_per_m = 1.0 / length_m;
    // nu and alpha go with 1/p each, so that Ra goes with p^2.
    const double rayleigh_factor = gravity_share * std::pow(length_m, 3) * std::pow(pressure_pa / kStandardPressurePa, 2);
    part.buoyancy_factor = rayleigh_factor * rayleigh_factor;
    return part;
}

void TabulatedFilm::add_naturals(const FilmModel& model) {
    const auto add = [&](Curve warmer, Curve cooler, double length_m, double gravity_share) {
        naturals_[static_cast<std::size_t>(natural_count_++)] =
            natural(warmer, cooler, length_m, gravity_share, model.pressure_pa);
    };
    const auto add_horizontal = [&](bool looks_up, double gravity_share) {
        add(warmer_curve(looks_up), cooler_curve(looks_up), model.area_over_perimeter_m, gravity_share);
    };
    switch (model.lie) {
        case Lie::vertical:
            return add(Curve::vertical_plate, Curve::vertical_plate, model.height_m, 1.0);
        case Lie::cylinder_across:
            return add(Curve::horizontal_cylinder, Curve::horizontal_cylinder, model.height_m, 1.0);
        case Lie::facing_up:
            return add_horizontal(true, 1.0);
        case Lie::facing_down:
            return add_horizontal(false, 1.0);
        case Lie::inclined:
            add(Curve::vertical_plate, Curve::vertical_plate, model.height_m, std::cos(model.tilt_rad));
            add_horizontal(model.tilt_rad > 0.0, std::abs(std::sin(model.tilt_rad)));
    }
}

void TabulatedFilm::add_forced(const FilmModel& model, ForcedTables& shared) {
    has_forced_ = model.forced_w_per_m2_k.value_or(model.speed_m_per_s) > 0.0;
    if (!has_forced_) return;
    if (model.forced_w_per_m2_k) {
        forced_w_per_m2_k_ = *model.forced_w_per_m2_k;
        return;
    }
    forced_rows_ = shared.of(model);
}

double TabulatedFilm::coefficient_w_per_m2_k(double surface_k, double air_k, double forced_factor) const {
    Value<double> value;
    evaluate(surface_k, air_k, forced_factor, value);
    return value.coefficient_w_per_m2_k;
}

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
