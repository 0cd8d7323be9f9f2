#include "zone_stack.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "bakewright/base/units.hpp"
#include "face_exchange.hpp"

namespace bakewright::bake {
namespace {

constexpr double kBiotLimit = 0.1;
constexpr double kAirConductivityWPerMK = 0.0272;  // at 313 K: Incropera & DeWitt, 6th ed., Table A.4, interpolated

double face_coefficient_w_per_m2_k(const Zone& zone, const Face& face, const Booth& booth, const PredictOptions& options) {
    if (face.view == FaceView::nothing) return 0.0;
    const FaceExchange exchange = face_exchange(zone, face, booth, options);
    constexpr double typical_k = 330.0;
    return exchange.film_w_per_m2_k + 4.0 * exchange.emissivity * kStefanBoltzmann * typical_k * typical_k * typical_k;
}

}  // namespace

StackNodes split_zone(const Zone& zone, const Booth& booth, const PredictOptions& options) {
    StackNodes nodes;
    double resistance_m2_k_per_w = 0.0;
    bool has_gap = false;
    for (const Layer& layer : zone.layers) {
        has_gap = has_gap || layer.kind == Layer::Kind::air_gap;
        const double conductivity =
            layer.kind == Layer::Kind::air_gap ? kAirConductivityWPerMK : layer.material.conductivity_w_per_m_k;
        resistance_m2_k_per_w += layer.thickness_m / conductivity;
    }
    const double outer = face_coefficient_w_per_m2_k(zone, zone.outer, booth, options);
    const double inner = face_coefficient_w_per_m2_k(zone, zone.inner, booth, options);
    nodes.biot = std::max(outer, inner) * resistance_m2_k_per_w;
    double total = 0.0;
    for (const Layer& layer : zone.layers)
        if (layer.kind == Layer::Kind::solid)
            total += layer.material.density_kg_per_m3 * layer.material.specific_heat_j_per_kg_k * layer.thickness_m;
    nodes.capacity_j_per_m2_k = {total};
    nodes.worth_telling = has_gap || nodes.biot >= kBiotLimit;
    nodes.reason = fmt::format("Biot number {:.3g}, one lumped node", nodes.biot);
    return nodes;
}

}  // namespace bakewright::bake
