// SPDX-License-Identifier: Apache-2.0
#include "bakewright/bake/cold_places.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>

#include "bakewright/thermal/slab.hpp"

namespace bakewright::bake {
namespace {

/// What the air gives a face while the booth warms up, convection and radiation [W/(m2 K)]. Common practice, no source.
constexpr double kInBoothWPerM2K = 12.0, kInCavityWPerM2K = 6.0, kMaskedWPerM2K = 5.0;
/// Strips leave at least this share of a zone to the zone itself.
constexpr double kMostOfZone = 0.8;
/// Metal on metal holds the strip where the part is: so many times what the strip gets from elsewhere.
constexpr double kFirmJoint = 200.0;
/// A link that conducts so many times what its sheet can bring to the seam is a pad under the strip: its conductance is the
/// pad's.
constexpr double kPad = 2.0;

double heated_w_per_m2_k(const Face& face) {
    if (face.view == FaceView::nothing) return 0.0;
    if (face.masking != Masking::none) return kMaskedWPerM2K;
    return face.view == FaceView::booth ? kInBoothWPerM2K : kInCavityWPerM2K;
}

/// How slowly a zone follows the air [s]; infinite where no air reaches it.
double time_constant_s(const Zone& zone) {
    double capacity_j_per_m2_k = 0.0;
    for (const Layer& layer : zone.layers)
        if (layer.kind == Layer::Kind::solid)
            capacity_j_per_m2_k += layer.thickness_m * layer.material.density_kg_per_m3 * layer.material.specific_heat_j_per_kg_k;
    const double heated = heated_w_per_m2_k(zone.outer) + heated_w_per_m2_k(zone.inner);
    return heated > 0.0 ? capacity_j_per_m2_k / heated : std::numeric_limits<double>::infinity();
}

/// How far a part is behind the air so long after a ramp's end [K].
double behind_air_k(double time_constant_s, double after_s) {
    constexpr thermal::SplitRequest kRamp{};
    const double ramp_s = kRamp.air_rise_k / kRamp.heating_rate_k_per_s;
    if (!std::isfinite(time_constant_s)) return kRamp.air_rise_k;
    return kRamp.heating_rate_k_per_s * time_constant_s * (1.0 - std::exp(-ramp_s / time_constant_s)) *
           std::exp(-after_s / time_constant_s);
}

/// How far a part can be behind a zone [K]; 0 where it is the faster of the two.
double largest_difference_k(const Zone& zone, const Zone& part) {
    const double zone_s = time_constant_s(zone), part_s = time_constant_s(part);
    if (!(part_s > zone_s)) return 0.0;
    double most_k = 0.0;
    for (const double after : {0.0, 0.5, 1.0, 2.0, 4.0})
        most_k = std::max(most_k, behind_air_k(part_s, after * zone_s) - behind_air_k(zone_s, after * zone_s));
    return most_k;
}

/// The sheet that runs to the seam: the layers from the joined face on, up to a gap.
struct Sheet {
    double along_w_per_k = 0.0;       ///< k t
    double through_m2_k_per_w = 0.0;  ///< from the joined face to the coated one
    bool reaches_coat = false;
};

Sheet sheet_of(const Zone& zone, Link::Side side) {
    Sheet sheet;
    const auto count = zone.layers.size();
    for (std::size_t i = 0; i < count; ++i) {
        const Layer& layer = zone.layers[side == Link::Side::outer ? i : count - 1 - i];
        if (layer.kind == Layer::Kind::air_gap) {
            sheet.reaches_coat = side == Link::Side::outer;
            return sheet;
        }
        sheet.along_w_per_k += layer.material.conductivity_w_per_m_k * layer.thickness_m;
        if (side == Link::Side::inner)
            sheet.through_m2_k_per_w +=
                layer.thickness_m / layer.material.conductivity_w_per_m_k + layer.contact_resistance_m2_k_per_w;
    }
    sheet.reaches_coat = count > 0;
    return sheet;
}

/// The length of the seam, how many metres of sheet run into it, and what joins the strip to the part.
void put_seam(ColdPlace& place, const Link& link, double fin_w_per_m_k) {
    const double others_w_per_m_k = 2.0 * fin_w_per_m_k + kInBoothWPerM2K * place.width_m;
    if (!link.seam_m) {
        place.seam_m = link.conductance_w_per_k / (2.0 * fin_w_per_m_k);
        place.flank_m = 2.0 * place.seam_m;
        place.joint_w_per_k = kFirmJoint * others_w_per_m_k * place.seam_m;
        return;
    }
    place.seam_m = *link.seam_m;
    const double fins = link.conductance_w_per_k / (place.seam_m * fin_w_per_m_k);
    place.flank_m = std::clamp(fins, 1.0, 2.0) * place.seam_m;
    const double firm_w_per_m_k = kFirmJoint * others_w_per_m_k;
    double joint_w_per_m_k = firm_w_per_m_k;
    if (fins < 1.0)  // what is missing to the sheet's own is in the joint: 1 / G = 1 / fin + 1 / joint
        joint_w_per_m_k = fin_w_per_m_k * fins / (1.0 - fins);
    else if (fins > 2.0 * kPad)
        joint_w_per_m_k = fin_w_per_m_k * fins;
    place.joint_w_per_k = std::min(joint_w_per_m_k, firm_w_per_m_k) * place.seam_m;
}

/// How much of the difference between zone and part reaches the coated face over the contact, 0 to 1.
double share_at_face(const ColdPlace& place, const Sheet& sheet, double fin_w_per_m_k) {
    const double to_face_m_k_per_w = place.seam_m / place.joint_w_per_k + sheet.through_m2_k_per_w / place.width_m;
    const double elsewhere_w_per_m_k = kInBoothWPerM2K * place.width_m + place.flank_m / place.seam_m * fin_w_per_m_k;
    return 1.0 / (1.0 + to_face_m_k_per_w * elsewhere_w_per_m_k);
}

const std::string& title_of(const Zone& zone) { return zone.title.empty() ? zone.name : zone.title; }

/// The strip at one end of a link; not one where the largest lag is 0.
ColdPlace place_over(const Zone& zone, const Zone& part, const Link& link, Link::Side side) {
    ColdPlace place;
    if (!zone.coated || part.coated || zone.role != ZoneRole::shell || part.role != ZoneRole::shell) return place;
    const Sheet sheet = sheet_of(zone, side);
    if (!sheet.reaches_coat || !(sheet.along_w_per_k > 0.0) || !(link.conductance_w_per_k > 0.0)) return place;
    place.name = zone.name + " over " + part.name;
    place.title = title_of(zone) + ", over the " + title_of(part);
    place.zone = zone.name;
    place.over = part.name;
    place.side = side;
    place.is_outer_covered = side == Link::Side::outer && part.outer.view == FaceView::booth;
    place.width_m = link.seam_width_m.value_or(kUsualContactWidthM);
    place.fin_length_m = std::sqrt(sheet.along_w_per_k / kSeamFilmWPerM2K);
    const double fin_w_per_m_k = std::sqrt(sheet.along_w_per_k * kSeamFilmWPerM2K);
    put_seam(place, link, fin_w_per_m_k);
    if (!link.seam_m && place.area_m2() > kMostOfZone * zone.area_m2) return place;
    place.largest_lag_k = share_at_face(place, sheet, fin_w_per_m_k) * largest_difference_k(zone, part);
    return place;
}

/// Where the strips of a zone need more than its area, they end where its middle begins, and what touches does so on less.
void fit_into_zones(std::vector<ColdPlace>& places, const Shell& shell) {
    std::map<std::string, std::array<double, 2>> needed_m2;  // contact, sheet beside it
    for (const ColdPlace& place : places) {
        needed_m2[place.zone][0] += place.contact_m2();
        needed_m2[place.zone][1] += place.area_m2() - place.contact_m2();
    }
    for (ColdPlace& place : places) {
        const double most_m2 = kMostOfZone * shell.find_zone(place.zone)->area_m2;
        const auto [contact_m2, beside_m2] = needed_m2.at(place.zone);
        place.width_m *= std::min(1.0, 0.5 * most_m2 / contact_m2);
        place.fin_length_m *= std::min(1.0, (most_m2 - std::min(contact_m2, 0.5 * most_m2)) / beside_m2);
    }
}

}  // namespace

std::vector<ColdPlace> cold_places(const Shell& shell) {
    std::vector<ColdPlace> places;
    for (std::size_t i = 0; i < shell.links.size(); ++i) {
        const Link& link = shell.links[i];
        const Zone *from = shell.find_zone(link.from), *to = shell.find_zone(link.to);
        if (from == nullptr || to == nullptr) continue;
        for (ColdPlace place : {place_over(*from, *to, link, link.from_side), place_over(*to, *from, link, link.to_side)}) {
            const auto is_same = [&](const ColdPlace& other) { return other.name == place.name; };
            // A second link between the same two would have the same name; it joins the zone itself.
            if (!(place.largest_lag_k > kLeastColdPlaceLagK) || std::any_of(places.begin(), places.end(), is_same)) continue;
            place.link = i;
            places.push_back(std::move(place));
        }
    }
    fit_into_zones(places, shell);
    return places;
}

std::string zone_of_place(const Shell& shell, const std::string& name) {
    if (shell.find_zone(name) != nullptr) return name;
    for (const ColdPlace& place : cold_places(shell))
        if (place.name == name) return place.zone;
    return name;
}

}  // namespace bakewright::bake
