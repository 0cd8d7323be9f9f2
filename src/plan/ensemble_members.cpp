#include "ensemble_members.hpp"

#include <algorithm>
#include <cmath>

#include "bakewright/thermal/ensemble_random.hpp"

namespace bakewright::plan {
namespace {

using bake::FactorKind;

/// Standard deviations from the median to the 95 % quantile of a normal distribution.
constexpr double kDeviationsTo95 = 1.6448536269514722;

/// Where a film coefficient's band lies against its value, as factors: {5 %, 95 %}.
std::pair<double, double> film_band(const bake::Booth& booth) {
    if (!booth.film_w_per_m2_k && booth.air_speed_m_per_s) {
        const bake::Spread& speed = *booth.air_speed_m_per_s;
        return {std::pow(speed.low / speed.value, 0.8), std::pow(speed.high / speed.value, 0.8)};
    }
    const bake::Spread film = booth.film_coefficient();
    return {film.low / film.value, film.high / film.value};
}

double spread_of(FactorKind kind, const Uncertainty& uncertainty) {
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
    }
    return 0.0;
}

thermal::FactorIndex find_factor(const bake::BuiltNetwork& built, FactorKind kind, const std::string& subject) {
    for (const bake::NetworkFactor& factor : built.factors)
        if (factor.kind == kind && factor.subject == subject) return factor.index;
    return thermal::kNoFactor;
}

}  // namespace

MemberDraw::MemberDraw(const bake::BuiltNetwork& built, const bake::Booth& booth, const EnsemblePredictOptions& options)
    : built_(built), booth_(booth), uncertainty_(options.uncertainty), seed_(options.seed), solves_air_(built.booth.has_value()) {
    for (const bake::NetworkFactor& factor : built.factors)
        if (factor.kind != FactorKind::through) factors_.push_back(draw_of(factor));
}

MemberDraw::FactorDraw MemberDraw::draw_of(const bake::NetworkFactor& factor) const {
    FactorDraw draw{factor.index};
    if (factor.kind == FactorKind::film) {
        const auto [low, high] = film_band(booth_);
        draw.log_low = -std::log(low) / kDeviationsTo95;
        draw.log_high = std::log(high) / kDeviationsTo95;
        return draw;
    }
    draw.log_low = draw.log_high = std::log1p(spread_of(factor.kind, uncertainty_)) / kDeviationsTo95;
    if (factor.kind == FactorKind::thickness) draw.inverse = find_factor(built_, FactorKind::through, factor.subject);
    return draw;
}

// The draws of air and start come first, so that a zone more does not change them.
void MemberDraw::operator()(std::size_t index, thermal::EnsembleMember& member) const {
    std::vector<double> normals(3 + factors_.size() + member.offset_k.size());
    thermal::draw_normals(seed_, index, normals);
    auto z = normals.begin();
    const auto shift_k = [&](double spread_k) { return *z++ * spread_k / kDeviationsTo95; };
    member.numbers.boundary_offset_k[0] = shift_k(uncertainty_.air_k);
    const double outside_shift_k = shift_k(uncertainty_.outside_air_k);
    if (solves_air_) member.numbers.boundary_offset_k[1] = outside_shift_k;
    member.numbers.start_shift_k = shift_k(uncertainty_.start_k);
    for (const FactorDraw& draw : factors_) {
        const double normal = *z++;
        const double factor = std::exp(normal * (normal > 0.0 ? draw.log_high : draw.log_low));
        member.numbers.factor[draw.factor] = factor;
        if (draw.inverse != thermal::kNoFactor) member.numbers.factor[draw.inverse] = 1.0 / factor;
    }
    for (double& offset_k : member.offset_k) offset_k = shift_k(uncertainty_.probe_k);
}

}  // namespace bakewright::plan
