// SPDX-License-Identifier: Apache-2.0
#include "bakewright/tune/tune.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <chrono>
#include <cmath>

#include "bake_fit.hpp"
#include "bakewright/base/error.hpp"
#include "probe_faults.hpp"

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

/// Fills in what follows from the last fit: numbers, probes, what could not be told, warnings, the tuned records.
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

std::optional<double> root_mean_square(const std::vector<BakeError>& errors, std::optional<double> BakeError::*which) {
    double squares = 0.0, count = 0.0;
    for (const BakeError& error : errors) {
        if (!(error.*which)) continue;
        squares += *(error.*which) * *(error.*which);
        count += 1.0;
    }
    return count > 0.0 ? std::optional(std::sqrt(squares / count)) : std::nullopt;
}

/// With one bake, each of so many parts in time is held out in turn.
constexpr std::size_t kParts = 4;

double root_mean_square(const std::vector<double>& all) {
    double squares = 0.0;
    for (const double one : all) squares += one * one;
    return std::sqrt(squares / static_cast<double>(all.size()));
}

void refuse_problems(const TuneTask& task, const TuneOptions& options) {
    options.prior.check();
    std::vector<Problem> found = bake::problems_in(task.shell);
    const std::vector<Problem> in_booth = bake::problems_in(task.booth);
    found.insert(found.end(), in_booth.begin(), in_booth.end());
    if (task.bakes.empty()) found.push_back({{}, 0, "bakes", "are missing: name at least one logged bake"});
    for (const std::string& name : options.held_out)
        if (std::none_of(task.bakes.begin(), task.bakes.end(), [&](const LoggedBake& bake) { return bake.name == name; }))
            found.push_back({{}, 0, "hold-out", fmt::format("'{}' is none of the bakes to tune on", name)});
    if (options.held_out.size() >= task.bakes.size() && !task.bakes.empty())
        found.push_back({{}, 0, "hold-out", "leaves no bake to tune on"});
    if (!found.empty()) throw InputError(std::move(found));
}

class Tuning {
public:
    Tuning(const TuneTask& task, const TuneOptions& options) : task_(task), options_(options), fitter_(task_, options, models_) {}

    TuneResult run() {
        const auto began = std::chrono::steady_clock::now();
        if (!options_.keeps_suspects) find_suspects();
        put_suspects_aside();
        for (std::size_t b = 0; b < task_.bakes.size(); ++b) models_.emplace_back(task_, b, options_);
        cut_suspects_off();
        for (std::size_t b = 0; b < models_.size(); ++b) add_error(b);
        used_.assign(models_.size(), true);
        for (std::size_t b = 0; b < models_.size(); ++b) used_[b] = !is_held_out(b);
        result_.zones_kept = options_.what.contains(Tunable::zones);
        if (!hold_out()) return {};
        if (!goes_on(0.8)) return {};
        const BakeFit fit = fitted({used_, {}, result_.zones_kept});
        for (std::size_t b = 0; b < models_.size(); ++b) {
            if (used_[b])
                result_.errors[b].used_k = fitter_.rms_k(fit, b);
            else
                result_.errors[b].held_out_k = fitter_.rms_k(fit, b);
        }
        add_fit(result_, task_, fit);
        result_.is_complete = true;
        result_.compute_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count();
        return std::move(result_);
    }

private:
    [[nodiscard]] bool goes_on(double share) const { return !options_.progress || options_.progress(share); }
    [[nodiscard]] bool is_held_out(std::size_t b) const {
        return std::find(options_.held_out.begin(), options_.held_out.end(), task_.bakes[b].name) != options_.held_out.end();
    }

    /// Faults of each bake's channels, by its own estimate: a bake that cannot be estimated keeps what shows without a model.
    void find_suspects() {
        for (std::size_t b = 0; b < task_.bakes.size(); ++b) {
            const TuneTask alone{task_.shell, task_.booth, {task_.bakes[b]}};
            EstimateOptions asked{.prior = options_.prior, .member_count = 1, .drives_by_cycle = options_.drives_by_cycle};
            asked.thread_count = options_.thread_count;
            try {
                Estimate estimate = tune::estimate(alone, asked);
                result_.solves += estimate.solves;
                for (ChannelFinding& channel : estimate.channels)
                    if (channel.fault) result_.suspects.push_back(std::move(channel));
            } catch (const InputError&) {
                add_condemned(alone);
            } catch (const SolveError&) {
                add_condemned(alone);
            }
        }
    }
    void add_condemned(const TuneTask& alone) {
        for (const CondemnedChannel& one : condemned_in(alone))
            result_.suspects.push_back({.bake = alone.bakes.front().name, .channel = one.channel, .fault = one.fault});
    }
    /// Before the models are made: a shell starts at its first readings.
    void put_suspects_aside() {
        for (const ChannelFinding& suspect : result_.suspects)
            for (std::size_t b = 0; b < task_.bakes.size(); ++b)
                if (task_.bakes[b].name == suspect.bake && probe::condemns_all(suspect.fault->kind))
                    put_aside(task_, b, suspect.channel);
    }
    void cut_suspects_off() {
        for (const ChannelFinding& suspect : result_.suspects)
            for (std::size_t b = 0; b < models_.size(); ++b)
                if (task_.bakes[b].name == suspect.bake && !probe::condemns_all(suspect.fault->kind))
                    models_[b].cut_off(suspect.channel, suspect.fault->from_s);
    }

    void add_error(std::size_t b) {
        BakeError error{.bake = task_.bakes[b].name};
        error.before_k = fitter_.rms_before_k(b);
        error.channels = models_[b].channels().size();
        error.end_s = models_[b].end_s();
        double squares = 0.0;
        for (const std::string& channel : models_[b].channels())
            squares += std::pow(probe_standard_k(task_.bakes[b], channel), 2);
        if (error.channels > 0) error.probe_standard_k = std::sqrt(squares / static_cast<double>(error.channels));
        result_.errors.push_back(std::move(error));
    }

    /// Fits with parts left out, with and without each zone's own film; the better of the two on what was left out is kept.
    bool hold_out() {
        const auto used_count = std::count(used_.begin(), used_.end(), true);
        if (!options_.holds_out) return true;
        const std::vector<double> with = errors_left_out(result_.zones_kept, 0.0);
        if (with.empty()) return false;
        if (!result_.zones_kept) {
            keep_errors(with, used_count);
            return true;
        }
        const std::vector<double> without = errors_left_out(false, 0.4);
        if (without.empty()) return false;
        result_.held_out_with_zones_k = root_mean_square(with);
        result_.held_out_without_zones_k = root_mean_square(without);
        result_.zones_kept = *result_.held_out_with_zones_k < *result_.held_out_without_zones_k;
        keep_errors(result_.zones_kept ? with : without, used_count);
        return true;
    }

    /// RMS on each bake left out in turn, or on those named, or on a single one by parts. Empty where progress said no.
    std::vector<double> errors_left_out(bool with_zones, double progress) {
        const std::vector<std::size_t> used = used_bakes();
        left_out_ = used.size() == models_.size() ? used : held_out_bakes();
        if (used.size() == models_.size() && used.size() == 1) return error_by_parts(used.front(), with_zones, progress);
        std::vector<double> errors;
        if (used.size() < models_.size()) {
            const BakeFit fit = fitted({used_, {}, with_zones});
            for (const std::size_t b : left_out_) errors.push_back(fitter_.rms_k(fit, b));
            return errors;
        }
        for (const std::size_t b : used) {
            if (!goes_on(progress + 0.4 * static_cast<double>(b) / static_cast<double>(models_.size()))) return {};
            std::vector<bool> others = used_;
            others[b] = false;
            errors.push_back(fitter_.rms_k(fitted({others, {}, with_zones}), b));
        }
        return errors;
    }
    std::vector<double> error_by_parts(std::size_t b, bool with_zones, double progress) {
        const double length_s = (models_[b].end_s() - models_[b].begin_s()) / static_cast<double>(kParts);
        std::vector<double> errors;
        for (std::size_t part = 0; part < kParts; ++part) {
            if (!goes_on(progress + 0.1 * static_cast<double>(part))) return {};
            const double from_s = models_[b].begin_s() + static_cast<double>(part) * length_s;
            const TimeSpan span{from_s, from_s + length_s};
            errors.push_back(fitter_.rms_k(fitted({used_, span, with_zones}), b, span));
        }
        return {root_mean_square(errors)};
    }
    BakeFit fitted(const FitScope& scope) {
        BakeFit fit = fitter_.fit(scope);
        result_.solves += fit.solves;
        return fit;
    }
    [[nodiscard]] std::vector<std::size_t> used_bakes() const {
        std::vector<std::size_t> used;
        for (std::size_t b = 0; b < used_.size(); ++b)
            if (used_[b]) used.push_back(b);
        return used;
    }
    [[nodiscard]] std::vector<std::size_t> held_out_bakes() const {
        std::vector<std::size_t> held_out;
        for (std::size_t b = 0; b < used_.size(); ++b)
            if (!used_[b]) held_out.push_back(b);
        return held_out;
    }
    void keep_errors(const std::vector<double>& errors, std::ptrdiff_t used_count) {
        for (std::size_t i = 0; i < left_out_.size(); ++i) {
            BakeError& error = result_.errors[left_out_[i]];
            error.held_out_k = errors[i];
            if (used_count == 1 && used_[left_out_[i]]) error.held_out_parts = kParts;
        }
    }

    TuneTask task_;  ///< without what is condemned
    const TuneOptions& options_;
    std::vector<BakeModel> models_;
    BakeFitter fitter_;
    TuneResult result_;
    std::vector<bool> used_;
    std::vector<std::size_t> left_out_;
};

}  // namespace

TuneResult tune(const TuneTask& task, const TuneOptions& options) {
    refuse_problems(task, options);
    return Tuning(task, options).run();
}

double TunedNumber::told() const noexcept {
    const double ratio = learned.standard_error / prior_standard;
    return std::clamp(1.0 - ratio * ratio, 0.0, 1.0);
}

std::optional<double> TuneResult::used_k() const { return root_mean_square(errors, &BakeError::used_k); }
std::optional<double> TuneResult::held_out_k() const { return root_mean_square(errors, &BakeError::held_out_k); }

}  // namespace bakewright::tune
