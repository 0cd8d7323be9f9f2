// SPDX-License-Identifier: Apache-2.0
#include "ensemble_members.hpp"

#include <algorithm>
#include <cmath>

#include "bakewright/thermal/ensemble.hpp"

namespace bakewright::plan {
namespace {

using bake::FactorKind;
using bake::kDeviationsTo95;

thermal::FactorIndex find_factor(const bake::BuiltNetwork& built, FactorKind kind, const std::string& subject) {
    for (const bake::NetworkFactor& factor : built.factors)
        if (factor.kind == kind && factor.subject == subject) return factor.index;
    return thermal::kNoFactor;
}

}  // namespace

MemberDraw::MemberDraw(const bake::BuiltNetwork& built, const bake::Shell& shell, const bake::Booth& booth,
                       const bake::Uncertainty& uncertainty, std::uint64_t seed)
    : built_(built),
      booth_(booth),
      uncertainty_(uncertainty),
      learned_(bake::learned_together(shell.learned, booth.learned)),
      seed_(seed) {
    const auto [low, high] = bake::film_band(booth_);
    group_log_low_ = -std::log(low) / kDeviationsTo95 * scale(true);
    group_log_high_ = std::log(high) / kDeviationsTo95 * scale(true);
    for (const bake::NetworkFactor& factor : built.factors)
        if (factor.kind == FactorKind::mode_film)
            modes_.push_back(draw_of(factor));
        else if (factor.kind != FactorKind::through)
            factors_.push_back(draw_of(factor));
}

MemberDraw::FactorDraw MemberDraw::draw_of(const bake::NetworkFactor& factor) {
    FactorDraw draw{factor.index};
    draw.kind = bake::learned_kind_of(factor.kind);
    draw.subject = factor.subject;
    if (factor.kind == FactorKind::film) {
        const auto known = std::find(film_groups_.begin(), film_groups_.end(), factor.film_group);
        draw.group = static_cast<std::size_t>(known - film_groups_.begin());
        if (known == film_groups_.end()) film_groups_.push_back(factor.film_group);
        const bool is_zone = factor.film_group != bake::kBoothWallGroup;
        draw.log_low = draw.log_high =
            is_zone ? booth_.learned.film_spread.value_or(std::log1p(uncertainty_.zone_film) / kDeviationsTo95) * scale(false)
                    : 0.0;
        return draw;
    }
    const bake::LogSpread spread = bake::spread_of(factor.kind, booth_, uncertainty_);
    const double wide = scale(factor.kind == FactorKind::doorway || (draw.kind && bake::is_of_booth(*draw.kind)));
    draw.log_low = spread.low * wide;
    draw.log_high = spread.high * wide;
    if (factor.kind == FactorKind::thickness) draw.inverse = find_factor(built_, FactorKind::through, factor.subject);
    return draw;
}

const double* MemberDraw::Drawn::find(bake::LearnedKind kind, const std::string& subject) const noexcept {
    for (std::size_t i = 0; i < numbers.size(); ++i)
        if (numbers[i].kind == kind && numbers[i].subject == subject) return &deviation[i];
    return nullptr;
}

std::vector<double> MemberDraw::group_logs(std::vector<double>::const_iterator& z, const Drawn& drawn) const {
    std::vector<double> logs;
    for (const std::string& group : film_groups_) {
        const double normal = *z++;
        const double* learned = drawn.find(bake::LearnedKind::group_film, group);
        logs.push_back(learned != nullptr ? *learned : normal * (normal > 0.0 ? group_log_high_ : group_log_low_));
    }
    return logs;
}

// The draws of air and start come first, so that a zone more does not change them; those of learned numbers last.
void MemberDraw::operator()(std::size_t index, thermal::EnsembleMember& member) const {
    const std::size_t learned_count = learned_.numbers.size();
    std::vector<double> normals(3 + film_groups_.size() + factors_.size() + member.offset_k.size() + learned_count);
    thermal::draw_normals(seed_, index, normals);
    Drawn drawn{learned_.numbers, std::vector<double>(learned_count, 0.0)};
    const double* of_learned = normals.data() + (normals.size() - learned_count);
    for (std::size_t row = 0; row < learned_count; ++row)
        for (std::size_t column = 0; column <= row; ++column)
            drawn.deviation[row] += scale(bake::is_of_booth(drawn.numbers[row].kind)) *
                                    learned_.root[row * learned_count + column] * of_learned[column];
    auto z = normals.cbegin();
    const auto shift_k = [&](double spread_k) { return *z++ * spread_k / kDeviationsTo95; };
    const double air_shift_k = shift_k(uncertainty_.air_k * scale(true));
    const double* learned_air_k = drawn.find(bake::LearnedKind::air_offset, {});
    member.numbers.boundary_offset_k[0] = learned_air_k != nullptr ? *learned_air_k : air_shift_k;
    member.numbers.boundary_offset_k[1] = shift_k(uncertainty_.outside_air_k * scale(true));
    member.numbers.start_shift_k = shift_k(uncertainty_.start_k);
    const std::vector<double> group_log = group_logs(z, drawn);
    for (const FactorDraw& draw : factors_) {
        const double normal = *z++;
        const double* learned = draw.kind ? drawn.find(*draw.kind, draw.subject) : nullptr;
        double log = learned != nullptr ? *learned : normal * (normal > 0.0 ? draw.log_high : draw.log_low);
        if (draw.kind == bake::LearnedKind::zone_film) log += group_log[draw.group];
        member.numbers.factor[draw.factor] = std::exp(log);
        if (draw.inverse != thermal::kNoFactor) member.numbers.factor[draw.inverse] = std::exp(-log);
    }
    for (const FactorDraw& draw : modes_)
        if (const double* learned = drawn.find(*draw.kind, draw.subject)) member.numbers.factor[draw.factor] = std::exp(*learned);
    for (double& offset_k : member.offset_k) offset_k = shift_k(uncertainty_.probe_k);
}

}  // namespace bakewright::plan
