// SPDX-License-Identifier: Apache-2.0
#include "zone_stack.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <span>

#include "bakewright/base/units.hpp"
#include "bakewright/thermal/films.hpp"
#include "bakewright/thermal/slab.hpp"

namespace bakewright::bake {
namespace {

using thermal::FilmModel;

/// Middle of a ramp: air so far above a face when nodes are chosen. Common practice.
constexpr double kTypicalAirK = 335.0;
constexpr double kTypicalFaceK = 320.0;
constexpr double kTypicalFilmK = 0.5 * (kTypicalAirK + kTypicalFaceK);
constexpr double kShortestLengthM = 0.01;
constexpr double kMaskEmissivity = 0.9;  // paper and plastic film; common practice

/// A zone's length counts along the stream and, on an upright zone, as the height that natural convection climbs.
FilmModel model_of(const Zone& zone, FaceSide side) {
    FilmModel model;
    model.lie = lie_of(zone.orientation, side);
    model.height_m = model.stream_length_m = std::max(zone.length_m, kShortestLengthM);
    model.area_over_perimeter_m =
        std::max(thermal::rectangle_area_over_perimeter_m(zone.area_m2, zone.length_m), kShortestLengthM);
    // A thinner wire than this is beyond the correlations' tables.
    if (zone.diameter_m && side == FaceSide::outer) {
        model.lie = FilmModel::Lie::cylinder_across;
        model.height_m = model.stream_length_m = std::max(*zone.diameter_m, kShortestLengthM);
    }
    return model;
}

/// The booth's answer to how strong its air is: painters' words and an expert's speed are the forced part, which natural
/// convection joins; an expert's coefficient is the whole.
void set_booth_film(FaceExchange& exchange, const Booth& booth, double film_factor) {
    exchange.film.multiplier = film_factor;
    for (std::size_t m = 0; m < kFanModeCount; ++m) {
        const std::string_view mode = word_of(static_cast<FanMode>(m));
        exchange.mode_factor[m] = booth.ventilation[m].film_factor * booth.learned.value(LearnedKind::mode_film, mode);
        exchange.is_mode_learned[m] = booth.learned.find(LearnedKind::mode_film, mode) != nullptr;
    }
    exchange.mode_factor[kDoorsOpenMode] = exchange.mode_factor[static_cast<std::size_t>(FanMode::bake)];  // the fans stay on
    if (booth.film_w_per_m2_k)
        exchange.fixed_film_w_per_m2_k = booth.film_w_per_m2_k->value * film_factor;
    else if (booth.air_speed_m_per_s)
        exchange.film.speed_m_per_s = booth.air_speed_m_per_s->value;
    else if (exchange.film.lie == FilmModel::Lie::cylinder_across)
        exchange.film.speed_m_per_s = speed_of_coefficient(booth.film_coefficient().value);
    else
        exchange.film.forced_w_per_m2_k = booth.film_coefficient().value;
}

}  // namespace

FilmModel::Lie lie_of(Orientation orientation, FaceSide side) {
    if (orientation == Orientation::vertical) return FilmModel::Lie::vertical;
    return (orientation == Orientation::faces_up) == (side == FaceSide::outer) ? FilmModel::Lie::facing_up
                                                                               : FilmModel::Lie::facing_down;
}

double speed_of_coefficient(double film_w_per_m2_k) {
    FilmModel plate;
    plate.stream_length_m = kUsualPlateM;
    plate.critical_reynolds = 0.0;
    plate.speed_m_per_s = 1.0;
    // A turbulent film goes with the speed to the power 0.8.
    return std::pow(film_w_per_m2_k / thermal::forced_coefficient_w_per_m2_k(plate, kTypicalFilmK), 1.25);
}

FaceExchange face_exchange(const Zone& zone, FaceSide side, const Booth& booth, const PredictOptions& options) {
    const Face& face = face_of(zone, side);
    FaceExchange exchange;
    exchange.film = model_of(zone, side);
    exchange.film.multiplier = options.film_factor;
    exchange.emissivity = face.masking == Masking::none ? face.emissivity : kMaskEmissivity;
    if (face.film_w_per_m2_k)
        exchange.fixed_film_w_per_m2_k = *face.film_w_per_m2_k * options.film_factor;
    else if (face.view == FaceView::booth)
        set_booth_film(exchange, booth, options.film_factor);
    return exchange;
}

FaceExchange wall_exchange(const Booth& booth, const PredictOptions& options) {
    FaceExchange exchange;
    exchange.film.lie = FilmModel::Lie::vertical;
    // Walls, ceiling and floor as upright walls as long as the booth is deep: the cube root of its volume.
    exchange.film.height_m = exchange.film.stream_length_m = std::max(std::cbrt(booth.volume_m3), kShortestLengthM);
    set_booth_film(exchange, booth, options.film_factor);
    return exchange;
}

void scale_film(FaceExchange& exchange, double factor) {
    exchange.film.multiplier *= factor;
    if (exchange.fixed_film_w_per_m2_k) *exchange.fixed_film_w_per_m2_k *= factor;
}

/// Still air held by masking. Paper drapes about 5 mm off the face (0.11 m2K/W: ISO 6946:2017, table of unventilated air layers,
/// 5 mm); film clings at about 1.5 mm (0.055 m2K/W, air at 40 degC conducting). Distances and masses are common practice: paper
/// 60 g/m2 at 1.4 kJ/kgK, film 15 g/m2 at 2 kJ/kgK.
std::optional<MaskLayer> mask_layer(Masking masking) {
    switch (masking) {
        case Masking::none:
            return std::nullopt;
        case Masking::paper:
            return MaskLayer{1.0 / 0.11, 84.0};
        case Masking::film:
            return MaskLayer{1.0 / 0.055, 30.0};
    }
    return std::nullopt;
}

double typical_film_w_per_m2_k(const FaceExchange& exchange) {
    if (exchange.fixed_film_w_per_m2_k) return *exchange.fixed_film_w_per_m2_k;
    return thermal::film_coefficient_w_per_m2_k(exchange.film, kTypicalFaceK, kTypicalAirK);
}

namespace {

constexpr double kTypicalTemperatureK = 330.0;
/// Faces of a gap are taken so far apart when its coefficient is chosen: between a heated skin and its lining. Common practice.
constexpr double kTypicalGapDifferenceK = 10.0;

double radiation_w_per_m2_k(double emissivity) {
    return 4.0 * emissivity * kStefanBoltzmann * kTypicalTemperatureK * kTypicalTemperatureK * kTypicalTemperatureK;
}

double face_coefficient_w_per_m2_k(const Zone& zone, FaceSide side, const Booth& booth, const PredictOptions& options) {
    const Face& face = face_of(zone, side);
    if (face.view == FaceView::nothing) return 0.0;
    const FaceExchange exchange = face_exchange(zone, side, booth, options);
    const double outside_w_per_m2_k = typical_film_w_per_m2_k(exchange) + radiation_w_per_m2_k(exchange.emissivity);
    const std::optional<MaskLayer> mask = mask_layer(face.masking);
    return mask ? 1.0 / (1.0 / outside_w_per_m2_k + 1.0 / mask->still_air_w_per_m2_k) : outside_w_per_m2_k;
}

thermal::GapModel gap_model(const Zone& zone, const Layer& outer, const Layer& gap, const Layer& inner) {
    using Lie = thermal::GapModel::Lie;
    thermal::GapModel model;
    model.lie = zone.orientation == Orientation::vertical   ? Lie::vertical
                : zone.orientation == Orientation::faces_up ? Lie::outer_above
                                                            : Lie::outer_below;
    model.width_m = std::clamp(gap.thickness_m, 0.0005, 0.5);
    model.height_m = std::max(zone.length_m, 0.01);
    // A face that radiates nothing would make the exchange factor meaningless; bright metal is 0.02 at least.
    model.outer_emissivity = std::max(outer.material.emissivity, 0.02);
    model.inner_emissivity = std::max(inner.material.emissivity, 0.02);
    return model;
}

StackJoint gap_joint(const Zone& zone, const Layer& outer, const Layer& gap, const Layer& inner) {
    const thermal::GapModel model = gap_model(zone, outer, gap, inner);
    return {thermal::gap_coefficient_w_per_m2_k(model, kTypicalTemperatureK + kTypicalGapDifferenceK, kTypicalTemperatureK),
            model, thermal::parallel_plate_exchange_factor(model.outer_emissivity, model.inner_emissivity)};
}

std::vector<thermal::StackLayer> solid_layers(std::span<const Layer> layers) {
    std::vector<thermal::StackLayer> solid;
    for (const Layer& layer : layers)
        solid.push_back({layer.thickness_m, layer.material.conductivity_w_per_m_k,
                         layer.material.density_kg_per_m3 * layer.material.specific_heat_j_per_kg_k,
                         layer.contact_resistance_m2_k_per_w});
    return solid;
}

/// Conductivity times thickness of the cell of each node: half way to its neighbours on both sides.
void append_along(StackNodes& nodes, const std::vector<thermal::StackLayer>& layers, const std::vector<double>& position_m) {
    for (std::size_t i = 0; i < position_m.size(); ++i) {
        const double from_m = i == 0 ? 0.0 : 0.5 * (position_m[i - 1] + position_m[i]);
        const double to_m = i + 1 == position_m.size() ? HUGE_VAL : 0.5 * (position_m[i] + position_m[i + 1]);
        double along_w_per_k = 0.0, top_m = 0.0;
        for (const thermal::StackLayer& layer : layers) {
            const double bottom_m = top_m + layer.thickness_m;
            along_w_per_k += layer.conductivity_w_per_m_k * std::max(0.0, std::min(to_m, bottom_m) - std::max(from_m, top_m));
            top_m = bottom_m;
        }
        nodes.along_w_per_k.push_back(along_w_per_k);
    }
}

/// Adds the nodes of one solid part of the stack.
void append(StackNodes& nodes, const thermal::SlabSplit& split, const std::vector<thermal::StackLayer>& layers) {
    append_along(nodes, layers, split.position_m);
    nodes.capacity_j_per_m2_k.insert(nodes.capacity_j_per_m2_k.end(), split.heat_capacity_j_per_m2_k.begin(),
                                     split.heat_capacity_j_per_m2_k.end());
    for (const double conductance : split.conductance_w_per_m2_k) nodes.between.push_back({conductance, std::nullopt, 0.0});
    nodes.biot = std::max(nodes.biot, split.biot);
    nodes.reason += (nodes.reason.empty() ? "" : " Behind the gap: ") + split.reason;
}

}  // namespace

StackNodes split_zone(const Zone& zone, const Booth& booth, const PredictOptions& options) {
    const double outer_w_per_m2_k = face_coefficient_w_per_m2_k(zone, FaceSide::outer, booth, options);
    const double inner_w_per_m2_k = face_coefficient_w_per_m2_k(zone, FaceSide::inner, booth, options);
    StackNodes nodes;
    double from_outside_w_per_m2_k = outer_w_per_m2_k;
    const std::span<const Layer> layers(zone.layers);
    for (std::size_t begin = 0; begin < layers.size();) {
        std::size_t end = begin;
        while (end < layers.size() && layers[end].kind == Layer::Kind::solid) ++end;
        const bool gap_follows = end < layers.size();
        StackJoint joint;
        double to_inside_w_per_m2_k = inner_w_per_m2_k;
        if (gap_follows) {
            joint = gap_joint(zone, layers[end - 1], layers[end], layers[end + 1]);
            to_inside_w_per_m2_k = joint.conductance_w_per_m2_k + radiation_w_per_m2_k(joint.exchange_factor);
        }
        // A stack that only a link heats still needs a heated face to be judged by.
        const double heated_w_per_m2_k =
            std::max(from_outside_w_per_m2_k + to_inside_w_per_m2_k > 0.0 ? from_outside_w_per_m2_k : 1.0, 0.01);
        const thermal::SplitRequest request{.outer_w_per_m2_k = heated_w_per_m2_k,
                                            .inner_w_per_m2_k = to_inside_w_per_m2_k,
                                            .heating_rate_k_per_s = std::min(booth.largest_ramp_k_per_s, 0.1)};
        const std::vector<thermal::StackLayer> solid = solid_layers(layers.subspan(begin, end - begin));
        append(nodes, thermal::split_stack(solid, request), solid);
        if (gap_follows) nodes.between.push_back(joint);
        from_outside_w_per_m2_k = to_inside_w_per_m2_k;
        begin = end + 1;
    }
    return nodes;
}

}  // namespace bakewright::bake
