#include "face_exchange.hpp"

#include "bakewright/base/units.hpp"

namespace bakewright::bake {
namespace {

/// Convection inside a closed cavity by the direction of heat from the face into the air: sideways 2.5, up 5.0, down 0.7 W/m2K.
/// Source: ISO 6946:2017, annex C (convective coefficients of internal surfaces). While the shell warms up, heat goes from the
/// skin into the cavity: down from a roof, up from a floor.
double cavity_film_w_per_m2_k(Orientation orientation) {
    switch (orientation) {
        case Orientation::vertical:
            return 2.5;
        case Orientation::faces_up:
            return 0.7;  // a roof's inner face looks down
        case Orientation::faces_down:
            return 5.0;  // a floor's inner face looks up
    }
    return 2.5;
}

/// Still air held by masking [m2 K/W]. Paper drapes about 5 mm off the face (0.11: ISO 6946:2017, table of unventilated air
/// layers, 5 mm); film clings at about 1.5 mm (0.055, air at 40 degC conducting). The distances are common practice.
double masking_resistance_m2_k_per_w(Masking masking) {
    switch (masking) {
        case Masking::none:
            return 0.0;
        case Masking::paper:
            return 0.11;
        case Masking::film:
            return 0.055;
    }
    return 0.0;
}

constexpr double kMaskEmissivity = 0.9;  // paper and plastic film; common practice
constexpr double kTypicalTemperatureK = 325.0;

}  // namespace

FaceExchange face_exchange(const Zone& zone, const Face& face, const Booth& booth, const PredictOptions& options) {
    FaceExchange exchange;
    const bool booth_face = face.view == FaceView::booth;
    const double usual = booth_face ? booth.film_coefficient().value : cavity_film_w_per_m2_k(zone.orientation);
    exchange.film_w_per_m2_k = face.film_w_per_m2_k.value_or(usual) * options.film_factor;
    exchange.emissivity = face.masking == Masking::none ? face.emissivity : kMaskEmissivity;
    if (booth_face && !face.film_w_per_m2_k)
        for (std::size_t m = 0; m < kFanModeCount; ++m) exchange.mode_factor[m] = booth.ventilation[m].film_factor;
    if (face.masking != Masking::none) {
        // The mask's own mass is left out (0.1 kg/m2); its still air stands in series with film and radiation together.
        const double radiation_w_per_m2_k =
            4.0 * exchange.emissivity * kStefanBoltzmann * kTypicalTemperatureK * kTypicalTemperatureK * kTypicalTemperatureK;
        const double share =
            1.0 / (1.0 + masking_resistance_m2_k_per_w(face.masking) * (exchange.film_w_per_m2_k + radiation_w_per_m2_k));
        exchange.film_w_per_m2_k *= share;
        exchange.emissivity *= share;
    }
    return exchange;
}

}  // namespace bakewright::bake
