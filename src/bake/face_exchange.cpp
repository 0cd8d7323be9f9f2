#include "face_exchange.hpp"

#include <algorithm>
#include <cmath>

namespace bakewright::bake {
namespace {

using thermal::FilmModel;

/// Middle of a ramp: air so far above a face when nodes are chosen. Common practice.
constexpr double kTypicalAirK = 335.0;
constexpr double kTypicalFaceK = 320.0;
constexpr double kShortestLengthM = 0.01;
constexpr double kMaskEmissivity = 0.9;  // paper and plastic film; common practice

FilmModel::Lie lie_of(Orientation orientation, FaceSide side) {
    if (orientation == Orientation::vertical) return FilmModel::Lie::vertical;
    return (orientation == Orientation::faces_up) == (side == FaceSide::outer) ? FilmModel::Lie::facing_up
                                                                               : FilmModel::Lie::facing_down;
}

/// A zone's length counts along the stream and, on an upright zone, as the height that natural convection climbs.
FilmModel model_of(const Zone& zone, FaceSide side) {
    FilmModel model;
    model.lie = lie_of(zone.orientation, side);
    model.height_m = model.stream_length_m = std::max(zone.length_m, kShortestLengthM);
    model.area_over_perimeter_m =
        std::max(thermal::rectangle_area_over_perimeter_m(zone.area_m2, zone.length_m), kShortestLengthM);
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
    if (booth.film_w_per_m2_k)
        exchange.fixed_film_w_per_m2_k = booth.film_w_per_m2_k->value * film_factor;
    else if (booth.air_speed_m_per_s)
        exchange.film.speed_m_per_s = booth.air_speed_m_per_s->value;
    else
        exchange.film.forced_w_per_m2_k = booth.film_coefficient().value;
}

}  // namespace

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

}  // namespace bakewright::bake
