#include "tune_result.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

namespace bakewright::tune {
namespace {

constexpr double kCorrelated = 0.8;
constexpr double kAlike = 0.5;  // lag-one correlation from which neighbours do not look like noise
constexpr double kTold = 0.2;   // share of the prior's variance; less is as good as nothing

std::vector<std::size_t> learned_places(const BakeFit& fit, bool of_booth_only) {
    std::vector<std::size_t> places;
    for (std::size_t u = 0; u < fit.model_count; ++u)
        if (fit.unknowns[u].kind == Unknown::Kind::learned && (!of_booth_only || bake::is_of_booth(fit.unknowns[u].learned)))
            places.push_back(u);
    return places;
}

/// The numbers with the correlations among them.
std::vector<bake::LearnedNumber> learned_numbers(const BakeFit& fit, const std::vector<std::size_t>& places) {
    std::vector<bake::LearnedNumber> numbers;
    for (std::size_t i = 0; i < places.size(); ++i) {
        const Unknown& unknown = fit.unknowns[places[i]];
        bake::LearnedNumber number{unknown.learned,
                                   unknown.subject,
                                   unknown.shown(fit.result.value[places[i]]),
                                   fit.result.standard_error[places[i]],
                                   {}};
        for (std::size_t before = 0; before < i; ++before)
            number.correlation.push_back(std::clamp(fit.result.correlation(places[i], places[before]), -1.0, 1.0));
        numbers.push_back(std::move(number));
    }
    return numbers;
}

/// What was known of numbers that were not tuned this time stays.
void put_in(bake::Learned& learned, std::vector<bake::LearnedNumber> numbers) {
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

void add_records(TuneResult& result, const TuneTask& task, const BakeFit& fit) {
    result.shell = task.shell;
    result.booth = task.booth;
    put_in(result.shell.learned, learned_numbers(fit, learned_places(fit, false)));
    put_in(result.booth.learned, learned_numbers(fit, learned_places(fit, true)));
    result.booth.learned.film_spread = fit.film_spread;
    for (bake::Learned* learned : {&result.shell.learned, &result.booth.learned}) {
        learned->from.clear();
        for (const BakeError& error : result.errors)
            if (error.used_k) learned->from.push_back(error.bake);
        learned->error_used_k = result.used_k();
        learned->error_held_out_k = result.held_out_k();
        learned->residual_k = result.noise_k;
        learned->residual_time_s = result.residual_time_s;
    }
}

void add_probes(TuneResult& result, const TuneTask& task, const BakeFit& fit) {
    for (std::size_t u = fit.model_count; u < fit.unknowns.size(); ++u) {
        const Unknown& unknown = fit.unknowns[u];
        const double value = fit.result.value[u], standard = fit.result.standard_error[u];
        if (unknown.kind == Unknown::Kind::probe_offset) {
            result.probes.push_back({task.bakes[unknown.bake].name, unknown.subject, value, standard, {}, {}, {}, {}});
        } else if (unknown.kind == Unknown::Kind::probe_share) {
            result.probes.back().air_share = value;
            result.probes.back().air_share_standard = standard;
        } else if (unknown.kind == Unknown::Kind::probe_lag) {
            result.probes.back().lag_s = value;
            result.probes.back().lag_standard_s = standard;
        }
    }
}

/// Directions in which the data know less than the priors, where the model has a part in them.
void add_weak(TuneResult& result, const BakeFit& fit) {
    for (const WeakCombination& weak : fit.result.weak) {
        const bool is_of_model = std::any_of(weak.shares.begin(), weak.shares.end(), [&](const WeakCombination::Share& share) {
            return fit.unknowns[share.parameter].kind == Unknown::Kind::learned;
        });
        if (!is_of_model) continue;
        Phrase text;
        for (const WeakCombination::Share& share : weak.shares) {
            const bool is_same_sign = share.weight * weak.shares.front().weight > 0.0;
            if (!text.parts().empty()) text.add(is_same_sign ? " with " : " against ");
            text.add(fit.unknowns[share.parameter].name);
        }
        result.weak.push_back(std::move(text));
    }
}

void add_correlated(TuneResult& result, const BakeFit& fit) {
    const std::vector<std::size_t> places = learned_places(fit, false);
    for (const std::size_t a : places)
        for (const std::size_t b : places)
            if (const double correlation = fit.result.correlation(a, b); a < b && std::abs(correlation) >= kCorrelated)
                result.correlated.push_back({fit.unknowns[a].name, fit.unknowns[b].name, correlation});
    std::stable_sort(result.correlated.begin(), result.correlated.end(),
                     [](const auto& a, const auto& b) { return std::abs(a.correlation) > std::abs(b.correlation); });
}

void add_warnings(TuneResult& result) {
    double probe_k = 0.0;
    for (const BakeError& error : result.errors) probe_k = std::max(probe_k, error.probe_standard_k);
    if (!result.converged) result.warnings.push_back(fmt::format("the fit did not settle: {}", result.message));
    if (result.lag_one > kAlike && result.noise_k > probe_k)
        result.warnings.push_back(
            fmt::format("the model's form is wrong somewhere: errors of {:.2f} K that follow each other (lag-one correlation "
                        "{:.2f}, Durbin-Watson "
                        "{:.2f}) and are larger than the probes' {:.2f} K; no value of these numbers mends it",
                        result.noise_k, result.lag_one, result.durbin_watson, probe_k));
    for (const TunedNumber& number : result.numbers) {
        if (number.at_bound)
            result.warnings.push_back(Phrase(number.name).add(" ran to the end of its range: the cause lies elsewhere"));
        else if (number.told() < kTold)
            result.warnings.push_back(
                Phrase("the logs say next to nothing of ").add(number.name).add(": it keeps what was believed before"));
    }
    const auto used = result.used_k(), held_out = result.held_out_k();
    if (used && held_out && *held_out > 2.0 * *used && *held_out > probe_k)
        result.warnings.push_back(
            fmt::format("the error on what was held out is {:.2f} K against {:.2f} K on what was used: the logs "
                        "are few for so many numbers, or bakes differ in something that is not modelled",
                        *held_out, *used));
}

}  // namespace

void add_fit(TuneResult& result, const TuneTask& task, const BakeFit& fit) {
    result.converged = fit.result.converged;
    result.message = fit.result.message;
    for (const std::size_t u : learned_places(fit, false)) {
        const Unknown& unknown = fit.unknowns[u];
        const bake::Learned& before = bake::is_of_booth(unknown.learned) ? task.booth.learned : task.shell.learned;
        result.numbers.push_back(
            {{unknown.learned, unknown.subject, unknown.shown(fit.result.value[u]), fit.result.standard_error[u], {}},
             unknown.name,
             before.value(unknown.learned, unknown.subject),
             unknown.prior_standard,
             fit.result.at_bound[u]});
    }
    add_probes(result, task, fit);
    result.singular_value = fit.result.singular_value;
    add_weak(result, fit);
    add_correlated(result, fit);
    result.noise_k = fit.noise_k;
    result.residual_time_s = fit.residual_time_s;
    result.lag_one = fit.result.lag_one;
    result.durbin_watson = fit.result.durbin_watson;
    result.film_spread = fit.film_spread;
    add_records(result, task, fit);
    add_warnings(result);
}

}  // namespace bakewright::tune
