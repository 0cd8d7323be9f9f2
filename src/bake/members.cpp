// SPDX-License-Identifier: Apache-2.0
#include "bakewright/bake/members.hpp"

#include <algorithm>
#include <cmath>

#include "bakewright/base/error.hpp"

namespace bakewright::bake {
namespace {

thermal::FactorIndex find_factor(const BuiltNetwork& built, FactorKind kind, const std::string& subject) {
    for (const NetworkFactor& factor : built.factors)
        if (factor.kind == kind && factor.subject == subject) return factor.index;
    return thermal::kNoFactor;
}

constexpr std::size_t kOfTheBake = 3;  // air, outside, start
/// Farther out nothing is drawn: a factor's square is then beyond what records accept.
constexpr double kFarthest = 6.0;

}  // namespace

std::string name_of(LearnedKind kind, const std::string& subject) {
    return std::string(word_of(kind)) + (subject.empty() ? "" : " " + subject);
}

std::vector<DiscrepancySize> discrepancy_sizes(const Uncertainty& uncertainty) {
    constexpr std::array<std::pair<double, double>, 4> own_air{{{0.3, 0.20}, {0.7, 0.35}, {1.4, 0.30}, {2.5, 0.15}}};
    constexpr std::array<std::pair<double, double>, 2> surroundings{{{1.5, 0.8}, {5.0, 0.2}}};
    std::vector<DiscrepancySize> sizes;
    for (const auto& [own_k, own_weight] : own_air)
        for (const auto& [walls_k, walls_weight] : surroundings)
            sizes.push_back({own_k * uncertainty.own_air, walls_k * uncertainty.surroundings, own_weight * walls_weight});
    return sizes;
}

MemberSpace::MemberSpace(const BuiltNetwork& built, const Shell& shell, const Booth& booth, const Uncertainty& uncertainty)
    : built_(built),
      booth_(booth),
      uncertainty_(uncertainty),
      learned_(learned_together(shell.learned, booth.learned)),
      sizes_(discrepancy_sizes(uncertainty)) {
    const auto [low, high] = film_band(booth_);
    group_log_low_ = -std::log(low) / kDeviationsTo95 * scale(true);
    group_log_high_ = std::log(high) / kDeviationsTo95 * scale(true);
    for (const NetworkFactor& factor : built.factors)
        if (factor.kind == FactorKind::mode_film)
            modes_.push_back(draw_of(factor));
        else if (factor.kind == FactorKind::own_air || factor.kind == FactorKind::surroundings)
            add_discrepancy(factor);
        else if (factor.kind != FactorKind::through && is_open(factor))
            factors_.push_back(draw_of(factor));
    name_numbers();
}

/// What is neither asked for nor learned has no number: those of all others stay where they are.
bool MemberSpace::is_open(const NetworkFactor& factor) const {
    return factor.kind != FactorKind::wall_capacity || uncertainty_.wall_capacity > 0.0 ||
           is_learned(LearnedKind::wall_capacity, factor.subject);
}

MemberSpace::FactorDraw MemberSpace::draw_of(const NetworkFactor& factor) {
    FactorDraw draw{factor.index};
    draw.kind = learned_kind_of(factor.kind);
    draw.subject = factor.subject;
    if (factor.kind == FactorKind::film) {
        const auto known = std::find(film_groups_.begin(), film_groups_.end(), factor.film_group);
        draw.group = static_cast<std::size_t>(known - film_groups_.begin());
        if (known == film_groups_.end()) film_groups_.push_back(factor.film_group);
        const bool is_zone = factor.film_group != kBoothWallGroup;
        draw.log_low = draw.log_high =
            is_zone ? booth_.learned.film_spread.value_or(std::log1p(uncertainty_.zone_film) / kDeviationsTo95) * scale(false)
                    : 0.0;
        return draw;
    }
    const LogSpread spread = spread_of(factor.kind, booth_, uncertainty_);
    const double wide = scale(factor.kind == FactorKind::doorway || (draw.kind && is_of_booth(*draw.kind)));
    draw.log_low = spread.low * wide;
    draw.log_high = spread.high * wide;
    if (factor.kind == FactorKind::thickness) draw.inverse = find_factor(built_, FactorKind::through, factor.subject);
    return draw;
}

void MemberSpace::add_discrepancy(const NetworkFactor& factor) {
    const DiscrepancySize& widest = sizes_.back();
    const double standard_k = factor.kind == FactorKind::own_air ? widest.own_air_k : widest.surroundings_k;
    discrepancies_.push_back({factor.index, standard_k * scale(true), *learned_kind_of(factor.kind), factor.subject});
}

// The draws of air and start come first, so that a zone more does not change them; those of learned numbers last but for the
// model's errors.
void MemberSpace::name_numbers() {
    using Kind = DrawnNumber::Kind;
    for (const Kind kind : {Kind::air, Kind::outside, Kind::start}) numbers_.push_back({kind});
    for (const std::string& group : film_groups_) numbers_.push_back({Kind::film_group, {}, group});
    for (const FactorDraw& draw : factors_) {
        const auto of = std::find_if(built_.factors.begin(), built_.factors.end(),
                                     [&](const NetworkFactor& factor) { return factor.index == draw.factor; });
        numbers_.push_back({Kind::factor, of->kind, of->subject});
    }
    for (const LearnedNumber& number : learned_.numbers)
        numbers_.push_back({Kind::learned, {}, name_of(number.kind, number.subject)});
    for (const Discrepancy& one : discrepancies_) {
        const auto of = std::find_if(built_.factors.begin(), built_.factors.end(),
                                     [&](const NetworkFactor& factor) { return factor.index == one.factor; });
        numbers_.push_back({of->kind == FactorKind::own_air ? Kind::own_air : Kind::surroundings, of->kind, of->subject});
    }
    for (const BoothSurface which : built_.logged) numbers_.push_back({Kind::surface, {}, std::string(word_of(which))});
}

double MemberSpace::shrunk(const DrawnNumber& number, const DiscrepancySize& size) const noexcept {
    const DiscrepancySize& widest = sizes_.back();
    if (number.kind == DrawnNumber::Kind::own_air) return widest.own_air_k > 0.0 ? size.own_air_k / widest.own_air_k : 1.0;
    if (number.kind == DrawnNumber::Kind::surroundings)
        return widest.surroundings_k > 0.0 ? size.surroundings_k / widest.surroundings_k : 1.0;
    return 1.0;
}

bool MemberSpace::is_learned(LearnedKind kind, const std::string& subject) const {
    return std::any_of(learned_.numbers.begin(), learned_.numbers.end(),
                       [&](const LearnedNumber& known) { return known.kind == kind && known.subject == subject; });
}

double MemberSpace::standard(std::size_t number) const {
    using Kind = DrawnNumber::Kind;
    const DrawnNumber& one = numbers_[number];
    const std::size_t first_factor = kOfTheBake + film_groups_.size();
    const std::size_t first_discrepancy = first_factor + factors_.size() + learned_.numbers.size();
    switch (one.kind) {
        case Kind::air:
            return is_learned(LearnedKind::air_offset, {}) ? 0.0 : uncertainty_.air_k * scale(true) / kDeviationsTo95;
        case Kind::outside:
            return uncertainty_.outside_air_k * scale(true) / kDeviationsTo95;
        case Kind::start:
            return uncertainty_.start_k / kDeviationsTo95;
        case Kind::film_group:
            return is_learned(LearnedKind::group_film, one.subject) ? 0.0 : 0.5 * (group_log_low_ + group_log_high_);
        case Kind::factor: {
            const FactorDraw& draw = factors_[number - first_factor];
            return draw.kind && is_learned(*draw.kind, draw.subject) ? 0.0 : 0.5 * (draw.log_low + draw.log_high);
        }
        case Kind::learned: {
            const std::size_t first_learned = first_factor + factors_.size();
            return learned_.numbers[number - first_learned].standard_error > 0.0 ? 1.0 : 0.0;
        }
        case Kind::own_air:
        case Kind::surroundings:
            return discrepancies_[number - first_discrepancy].standard_k;
        case Kind::surface:
            return uncertainty_.surface_k / kDeviationsTo95;
    }
    return 0.0;
}

std::vector<double> MemberSpace::learned_deviations(std::span<const double> normals) const {
    const std::size_t count = learned_.numbers.size();
    std::vector<double> deviation(count, 0.0);
    for (std::size_t row = 0; row < count; ++row)
        for (std::size_t column = 0; column <= row; ++column)
            deviation[row] +=
                scale(is_of_booth(learned_.numbers[row].kind)) * learned_.root[row * count + column] * normals[column];
    return deviation;
}

const double* MemberSpace::find_learned(std::span<const double> deviation, LearnedKind kind, const std::string& subject) const {
    for (std::size_t i = 0; i < learned_.numbers.size(); ++i)
        if (learned_.numbers[i].kind == kind && learned_.numbers[i].subject == subject) return &deviation[i];
    return nullptr;
}

std::vector<double> MemberSpace::group_logs(std::span<const double> normals, std::span<const double> learned) const {
    std::vector<double> logs;
    for (std::size_t g = 0; g < film_groups_.size(); ++g) {
        const double* known = find_learned(learned, LearnedKind::group_film, film_groups_[g]);
        logs.push_back(known != nullptr ? *known : normals[g] * (normals[g] > 0.0 ? group_log_high_ : group_log_low_));
    }
    return logs;
}

void MemberSpace::set(std::span<const double> all, thermal::EnsembleMember& member) const {
    ensure(all.size() == numbers_.size(), "a member is set by one number for each that is drawn");
    std::vector<double> normals(all.begin(), all.end());
    for (double& normal : normals) normal = std::clamp(normal, -kFarthest, kFarthest);
    const std::span<const double> z(normals);
    const std::size_t groups = film_groups_.size(), factors = factors_.size(), learned_count = learned_.numbers.size();
    const std::vector<double> learned = learned_deviations(z.subspan(kOfTheBake + groups + factors, learned_count));
    thermal::Member<double>& numbers = member.numbers;
    numbers.boundary_offset_k[0] = z[0] * standard(0);
    if (const double* learned_air_k = find_learned(learned, LearnedKind::air_offset, {})) {
        // As the network takes its value: air that is given is off in proportion to its rise.
        const double share = built_.booth ? 0.0 : *learned_air_k / booth_.rise_of_full_offset_k();
        numbers.boundary_gain[0] += share;
        numbers.boundary_offset_k[0] = built_.booth ? *learned_air_k : -share * booth_.ambient_k;
    }
    numbers.boundary_offset_k[kOutsideBoundary] = z[1] * standard(1);
    numbers.start_shift_k = z[2] * standard(2);
    const std::vector<double> group_log = group_logs(z.subspan(kOfTheBake, groups), learned);
    for (std::size_t f = 0; f < factors; ++f) {
        const FactorDraw& draw = factors_[f];
        const double normal = z[kOfTheBake + groups + f];
        const double* known = draw.kind ? find_learned(learned, *draw.kind, draw.subject) : nullptr;
        double log = known != nullptr ? *known : normal * (normal > 0.0 ? draw.log_high : draw.log_low);
        if (draw.kind == LearnedKind::zone_film) log += group_log[draw.group];
        numbers.factor[draw.factor] = std::exp(log);
        if (draw.inverse != thermal::kNoFactor) numbers.factor[draw.inverse] = std::exp(-log);
    }
    for (const FactorDraw& draw : modes_)
        if (const double* known = find_learned(learned, *draw.kind, draw.subject)) numbers.factor[draw.factor] = std::exp(*known);
    const std::size_t first = kOfTheBake + groups + factors + learned_count;
    for (std::size_t d = 0; d < discrepancies_.size(); ++d) {
        const Discrepancy& one = discrepancies_[d];
        const double* known_k = find_learned(learned, one.kind, one.subject);
        numbers.factor[one.factor] = 1.0 + (z[first + d] * one.standard_k + (known_k != nullptr ? *known_k : 0.0)) / kDrawnRiseK;
    }
    for (std::size_t s = 0; s < built_.logged.size(); ++s)
        numbers.boundary_offset_k[kFirstSurfaceBoundary + s] =
            z[first + discrepancies_.size() + s] * uncertainty_.surface_k / kDeviationsTo95;
}

std::vector<double> MemberSpace::draw(std::uint64_t seed, std::size_t index) const {
    std::vector<double> normals(numbers_.size() + 1);
    thermal::draw_normals(seed, index, normals);
    double share = thermal::cumulative_normal(normals.back());
    normals.pop_back();
    const DiscrepancySize* size = &sizes_.back();
    for (const DiscrepancySize& one : sizes_) {
        share -= one.weight;
        if (share > 0.0) continue;
        size = &one;
        break;
    }
    for (std::size_t n = 0; n < normals.size(); ++n) normals[n] *= shrunk(numbers_[n], *size);
    return normals;
}

}  // namespace bakewright::bake
