// SPDX-License-Identifier: Apache-2.0
#include "tuned_numbers.hpp"

#include <fmt/core.h>

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>

#include "bakewright/base/error.hpp"
#include "posterior.hpp"

namespace bakewright::tune {
namespace {

using bake::FactorKind;
using bake::LearnedKind;

/// What fans do for the film in a mode other than bake is a guess within a third either way; common practice, no source.
constexpr double kModeStandard = 0.3;
constexpr double kLeastFilmStandard = 0.1;  // a band of no width is a slip, not knowledge
constexpr double kFarthest = 5.0;           // where an estimate's numbers end
/// A prior for the spread of zones' films weighs as much as so many zones; common practice, no source.
constexpr double kSpreadWeight = 4.0;
constexpr double kNamedShare = 0.3;  // a tenth of a direction's square
constexpr double kCorrelated = 0.8;

struct TunableFactor {
    FactorKind factor;
    Tunable tunable;
};
constexpr TunableFactor kTunableFactors[]{{FactorKind::cavity_film, Tunable::cavities},
                                          {FactorKind::leakage, Tunable::cavities},
                                          {FactorKind::thickness, Tunable::masses},
                                          {FactorKind::link, Tunable::links},
                                          {FactorKind::vertical_profile, Tunable::vertical},
                                          {FactorKind::wall_offset, Tunable::walls},
                                          {FactorKind::wall_loss, Tunable::walls},
                                          {FactorKind::wall_capacity, Tunable::walls},
                                          {FactorKind::floor, Tunable::walls},
                                          {FactorKind::own_air, Tunable::zones},
                                          {FactorKind::surroundings, Tunable::walls},
                                          {FactorKind::make_up, Tunable::air},
                                          {FactorKind::burner_power, Tunable::air}};

bool is_own_error(LearnedKind kind) { return kind == LearnedKind::own_air || kind == LearnedKind::surroundings; }

double size_k(LearnedKind kind, const bake::DiscrepancySize& size) {
    return kind == LearnedKind::own_air ? size.own_air_k : size.surroundings_k;
}

/// Over all sizes.
double own_error_standard_k(LearnedKind kind, const bake::Uncertainty& prior) {
    double mean_square_k2 = 0.0;
    for (const bake::DiscrepancySize& size : bake::discrepancy_sizes(prior))
        mean_square_k2 += size.weight * size_k(kind, size) * size_k(kind, size);
    return std::sqrt(mean_square_k2);
}

double zone_spread(const bake::Uncertainty& prior) { return std::log1p(prior.zone_film) / bake::kDeviationsTo95; }

class NumberCollector {
public:
    NumberCollector(const TuneTask& task, const TuneOptions& options, const std::deque<BakeModel>& bakes)
        : task_(task), options_(options), bakes_(bakes) {}

    std::vector<TunedNumber> run() {
        for (const BakeModel& bake : bakes_) add_films(bake);
        for (const BakeModel& bake : bakes_) add_factors(bake);
        for (std::size_t b = 0; b < bakes_.size(); ++b) add_modes(b);
        // Air that was logged is what it was; where one bake was driven by it, the set point's offset would move it too.
        const bool any_replay = std::any_of(bakes_.begin(), bakes_.end(), [](const BakeModel& bake) { return bake.is_replay(); });
        if (wants(Tunable::air) && !any_replay)
            add(LearnedKind::air_offset, {}, 2.0 * options_.prior.air_k / bake::kDeviationsTo95);
        return std::move(numbers_);
    }

private:
    [[nodiscard]] bool wants(Tunable tunable) const { return options_.what.contains(tunable); }
    [[nodiscard]] bool is_probed(const std::string& name) const {
        return std::any_of(bakes_.begin(), bakes_.end(), [&](const BakeModel& bake) {
            return std::find(bake.channels().begin(), bake.channels().end(), name) != bake.channels().end();
        });
    }

    /// Groups and fan modes have no title; of a link both ends have.
    [[nodiscard]] Phrase name_of(LearnedKind kind, const std::string& subject) const {
        Phrase name(std::string(word_of(kind)));
        if (!subject.empty()) name.add(" ");
        if (kind == LearnedKind::group_film || kind == LearnedKind::mode_film) return name.add(subject);
        if (kind != LearnedKind::link) return name.add_place(subject);
        for (const bake::Link& link : task_.shell.links)
            if (link.from + " " + link.to == subject) return name.add_place(link.from).add(" ").add_place(link.to);
        return name.add(subject);
    }

    void add(LearnedKind kind, const std::string& subject, double prior_standard) {
        for (const TunedNumber& known : numbers_)
            if (known.learned.kind == kind && known.learned.subject == subject) return;
        if (!(prior_standard > 0.0)) return;
        const bake::Learned& before = bake::is_of_booth(kind) ? task_.booth.learned : task_.shell.learned;
        // What may be off in the model itself is an unknown of every estimate: its size is open, and weighed by the evidence.
        numbers_.push_back({{kind, subject, bake::is_offset(kind) ? 0.0 : 1.0, is_own_error(kind) ? 0.0 : prior_standard, {}},
                            name_of(kind, subject),
                            before.value(kind, subject),
                            prior_standard,
                            false});
    }

    void add_films(const BakeModel& bake) {
        const auto [low, high] = bake::film_band(task_.booth);
        const double band = std::log(high / low) / (2.0 * bake::kDeviationsTo95);
        for (const bake::NetworkFactor& factor : bake.built().factors) {
            if (factor.kind != FactorKind::film) continue;
            if (wants(Tunable::film)) add(LearnedKind::group_film, factor.film_group, std::max(band, kLeastFilmStandard));
            const bool is_zone = factor.film_group != bake::kBoothWallGroup;
            if (wants(Tunable::zones) && is_zone && is_probed(factor.subject))
                add(LearnedKind::zone_film, factor.subject, zone_spread(options_.prior));
        }
    }

    void add_factors(const BakeModel& bake) {
        for (const bake::NetworkFactor& factor : bake.built().factors) {
            const auto asked = std::find_if(std::begin(kTunableFactors), std::end(kTunableFactors),
                                            [&](const TunableFactor& one) { return one.factor == factor.kind; });
            if (asked == std::end(kTunableFactors) || !wants(asked->tunable) || !has_effect(factor)) continue;
            const LearnedKind kind = *bake::learned_kind_of(factor.kind);
            add(kind, factor.subject,
                is_own_error(kind) ? own_error_standard_k(kind, options_.prior)
                                   : bake::spread_of(factor.kind, task_.booth, options_.prior).mean());
        }
    }
    [[nodiscard]] bool has_effect(const bake::NetworkFactor& factor) const {
        switch (factor.kind) {
            case FactorKind::thickness:
            case FactorKind::own_air:
                return is_probed(factor.subject);
            case FactorKind::link:
                return std::any_of(task_.shell.links.begin(), task_.shell.links.end(), [&](const bake::Link& link) {
                    return fmt::format("{} {}", link.from, link.to) == factor.subject &&
                           (is_probed(link.from) || is_probed(link.to));
                });
            case FactorKind::vertical_profile:
                return std::any_of(task_.booth.vertical_profile.begin(), task_.booth.vertical_profile.end(),
                                   [](const bake::VerticalOffset& row) { return row.offset_k != 0.0; });
            case FactorKind::wall_offset:
                return task_.booth.wall_offset_below_air_k() > 0.0;
            default:
                return true;
        }
    }

    void add_modes(std::size_t b) {
        const std::optional<bake::Cycle>& cycle = task_.bakes[b].cycle;
        if (!wants(Tunable::modes) || !bakes_[b].tells_modes() || !cycle) return;
        for (const bake::Stage& stage : cycle->stages)
            if (const bake::FanMode mode = bake::fan_mode_of(stage.kind); mode != bake::FanMode::bake)
                add(LearnedKind::mode_film, std::string(word_of(mode)), kModeStandard);
    }

    const TuneTask& task_;
    const TuneOptions& options_;
    const std::deque<BakeModel>& bakes_;
    std::vector<TunedNumber> numbers_;
};

/// Among an estimate's numbers.
std::size_t place_of(const TunedNumber& number, const std::vector<EstimatedNumber>& numbers) {
    using Kind = bake::DrawnNumber::Kind;
    const LearnedKind kind = number.learned.kind;
    const bool is_own = is_own_error(kind);
    const Kind sought = !is_own ? Kind::learned : kind == LearnedKind::own_air ? Kind::own_air : Kind::surroundings;
    const std::string name = is_own ? number.learned.subject : bake::name_of(kind, number.learned.subject);
    const auto at = std::find_if(numbers.begin(), numbers.end(), [&](const EstimatedNumber& one) {
        return one.number.kind == sought && one.number.subject == name;
    });
    ensure(at != numbers.end(), "an estimate has every number that it was given");
    return static_cast<std::size_t>(at - numbers.begin());
}

/// With the correlations among those that are put in; what was known of others stays.
void put_in(bake::Learned& learned, const std::vector<TunedNumber>& all, bool of_booth_only) {
    std::vector<bake::LearnedNumber> numbers;
    std::vector<std::size_t> places;
    for (std::size_t n = 0; n < all.size(); ++n) {
        if (of_booth_only && !bake::is_of_booth(all[n].learned.kind)) continue;
        numbers.push_back(all[n].learned);
        std::vector<double>& correlation = numbers.back().correlation;
        correlation.clear();
        for (const std::size_t before : places)
            if (!all[n].learned.correlation.empty()) correlation.push_back(all[n].learned.correlation[before]);
        places.push_back(n);
    }
    for (bake::LearnedNumber& old : learned.numbers) {
        const bool is_new = std::any_of(numbers.begin(), numbers.end(), [&](const bake::LearnedNumber& number) {
            return number.kind == old.kind && number.subject == old.subject;
        });
        if (is_new) continue;
        old.correlation.clear();
        numbers.push_back(std::move(old));
    }
    learned.numbers = std::move(numbers);
}

/// Covariance in standard deviations of what was believed.
Matrix covariance_of(const std::vector<TunedNumber>& numbers) {
    const auto count = static_cast<Eigen::Index>(numbers.size());
    Matrix covariance(count, count);
    for (Eigen::Index a = 0; a < count; ++a) {
        const TunedNumber& one = numbers[static_cast<std::size_t>(a)];
        const double standard = one.learned.standard_error / one.prior_standard;
        covariance(a, a) = standard * standard;
        for (Eigen::Index b = 0; b < a; ++b) {
            const TunedNumber& other = numbers[static_cast<std::size_t>(b)];
            covariance(a, b) = covariance(b, a) = one.learned.correlation[static_cast<std::size_t>(b)] * standard *
                                                  other.learned.standard_error / other.prior_standard;
        }
    }
    return covariance;
}

}  // namespace

std::vector<TunedNumber> numbers_to_tune(const TuneTask& task, const TuneOptions& options, const std::deque<BakeModel>& bakes) {
    return NumberCollector(task, options, bakes).run();
}

TuneTask with_numbers(TuneTask task, const std::vector<TunedNumber>& numbers) {
    put_in(task.shell.learned, numbers, false);
    put_in(task.booth.learned, numbers, true);
    return task;
}

std::vector<TunedNumber> told_of(std::vector<TunedNumber> numbers, const Estimate& estimate) {
    const std::vector<EstimatedNumber>& all = estimate.bakes.front().numbers;
    std::vector<std::size_t> places;
    for (TunedNumber& number : numbers) {
        const std::size_t at = place_of(number, all);
        // An error of the model stands there in widths of the widest size.
        const double unit =
            is_own_error(number.learned.kind) ? size_k(number.learned.kind, estimate.sizes.back()) : number.prior_standard;
        const double moved = unit * all[at].mean;
        number.learned.value = bake::is_offset(number.learned.kind) ? moved : std::exp(moved);
        number.learned.standard_error = unit * all[at].standard;
        number.at_bound = std::abs(all[at].mean) >= kFarthest;
        number.learned.correlation.clear();
        for (const std::size_t before : places)
            number.learned.correlation.push_back(
                std::clamp(estimate.covariance[at * all.size() + before] / (all[at].standard * all[before].standard), -1.0, 1.0));
        places.push_back(at);
    }
    return numbers;
}

double film_spread_of(const std::vector<TunedNumber>& numbers, const bake::Uncertainty& prior) {
    double weight = kSpreadWeight, squares = kSpreadWeight * zone_spread(prior) * zone_spread(prior);
    for (const TunedNumber& number : numbers) {
        if (number.learned.kind != LearnedKind::zone_film) continue;
        weight += 1.0;
        squares += std::pow(std::log(number.learned.value), 2) + std::pow(number.learned.standard_error, 2);
    }
    return std::sqrt(squares / weight);
}

std::vector<Phrase> weak_combinations(const std::vector<TunedNumber>& numbers) {
    std::vector<Phrase> weak;
    if (numbers.empty()) return weak;
    const Eigen::SelfAdjointEigenSolver<Matrix> directions(covariance_of(numbers));
    // More than half of the prior's variance is left: the logs' share of the information is the smaller one.
    for (Eigen::Index d = 0; d < directions.eigenvalues().size(); ++d) {
        if (directions.eigenvalues()[d] < 0.5) continue;
        const Vector direction = directions.eigenvectors().col(d);
        std::vector<std::size_t> named;
        for (std::size_t n = 0; n < numbers.size(); ++n)
            if (std::abs(direction[static_cast<Eigen::Index>(n)]) >= kNamedShare) named.push_back(n);
        const auto weight = [&](std::size_t n) { return direction[static_cast<Eigen::Index>(n)]; };
        std::stable_sort(named.begin(), named.end(),
                         [&](std::size_t a, std::size_t b) { return std::abs(weight(a)) > std::abs(weight(b)); });
        Phrase text;
        for (const std::size_t n : named) {
            if (!text.parts().empty()) text.add(weight(n) * weight(named.front()) > 0.0 ? " with " : " against ");
            text.add(numbers[n].name);
        }
        if (!named.empty()) weak.push_back(std::move(text));
    }
    return weak;
}

std::vector<CorrelatedPair> correlated_pairs(const std::vector<TunedNumber>& numbers) {
    std::vector<CorrelatedPair> pairs;
    for (std::size_t b = 0; b < numbers.size(); ++b)
        for (std::size_t a = 0; a < b; ++a)
            if (const double correlation = numbers[b].learned.correlation[a]; std::abs(correlation) >= kCorrelated)
                pairs.push_back({numbers[a].name, numbers[b].name, correlation});
    std::stable_sort(pairs.begin(), pairs.end(),
                     [](const auto& a, const auto& b) { return std::abs(a.correlation) > std::abs(b.correlation); });
    return pairs;
}

double TunedNumber::told() const noexcept {
    const double ratio = learned.standard_error / prior_standard;
    return std::clamp(1.0 - ratio * ratio, 0.0, 1.0);
}

}  // namespace bakewright::tune
