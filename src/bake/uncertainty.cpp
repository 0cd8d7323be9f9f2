// SPDX-License-Identifier: Apache-2.0
#include "bakewright/bake/uncertainty.hpp"

#include <cmath>

#include "bakewright/base/fields.hpp"

namespace bakewright::bake {

std::pair<double, double> film_band(const Booth& booth) noexcept {
    if (!booth.film_w_per_m2_k && booth.air_speed_m_per_s) {
        const Spread& speed = *booth.air_speed_m_per_s;
        return {std::pow(speed.low / speed.value, 0.8), std::pow(speed.high / speed.value, 0.8)};
    }
    const Spread film = booth.film_coefficient();
    return {film.low / film.value, film.high / film.value};
}

namespace {

/// As of Uncertainty, the same either way.
double even_spread_of(FactorKind kind, const Uncertainty& uncertainty) noexcept {
    switch (kind) {
        case FactorKind::film:
            break;  // the booth's own band
        case FactorKind::through:
            break;  // goes with the thickness
        case FactorKind::cavity_film:
            return uncertainty.cavity_film;
        case FactorKind::thickness:
            return uncertainty.thickness;
        case FactorKind::link:
            return uncertainty.link;
        case FactorKind::leakage:
            return uncertainty.leakage;
        case FactorKind::contact:
            return uncertainty.contact;
        case FactorKind::emissivity:
            return uncertainty.emissivity;
        case FactorKind::vertical_profile:
            return uncertainty.vertical_profile;
        case FactorKind::wall_offset:
            return uncertainty.wall_offset;
        case FactorKind::wall_loss:
            return uncertainty.wall_loss;
        case FactorKind::make_up:
            return uncertainty.make_up;
        case FactorKind::burner_power:
            return uncertainty.burner_power;
        case FactorKind::mode_film:
            break;  // drawn where it was learned
        case FactorKind::floor:
            return uncertainty.floor;
        case FactorKind::doorway:
            return uncertainty.doorway;
        case FactorKind::wall_capacity:
            return uncertainty.wall_capacity;
        case FactorKind::own_air:
        case FactorKind::surroundings:
            break;  // kelvins, not factors
    }
    return 0.0;
}

}  // namespace

LogSpread spread_of(FactorKind kind, const Booth& booth, const Uncertainty& uncertainty) noexcept {
    const double even = std::log1p(even_spread_of(kind, uncertainty)) / kDeviationsTo95;
    const Spread loss = booth.wall_loss();
    if (kind != FactorKind::wall_loss || even == 0.0 || loss.low >= loss.high) return {even, even};
    return {std::log(loss.value / loss.low) / kDeviationsTo95, std::log(loss.high / loss.value) / kDeviationsTo95};
}

void Uncertainty::check() const {
    FieldCheck check;
    const std::pair<const char*, double> factors[]{{"zone-film", zone_film},
                                                   {"cavity-film", cavity_film},
                                                   {"thickness", thickness},
                                                   {"link", link},
                                                   {"leakage", leakage},
                                                   {"contact", contact},
                                                   {"emissivity", emissivity},
                                                   {"wall-offset", wall_offset},
                                                   {"vertical-profile", vertical_profile},
                                                   {"wall-loss", wall_loss},
                                                   {"wall-capacity", wall_capacity},
                                                   {"floor", floor},
                                                   {"make-up", make_up},
                                                   {"doorway", doorway},
                                                   {"burner-power", burner_power},
                                                   {"own-air", own_air},
                                                   {"surroundings", surroundings}};
    for (const auto& [key, value] : factors) check.within(key, value, {0.0, 10.0}, unit::none);
    const std::pair<const char*, double> kelvins[]{
        {"air", air_k}, {"outside-air", outside_air_k}, {"start", start_k}, {"probe", probe_k}, {"surface", surface_k}};
    for (const auto& [key, value] : kelvins) check.within(key, value, {0.0, 50.0}, unit::k);
    check.throw_if_any();
}

}  // namespace bakewright::bake
