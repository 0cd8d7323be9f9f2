// SPDX-License-Identifier: Apache-2.0
#include "bakewright/tune/tune.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <deque>

#include "bakewright/base/error.hpp"
#include "probe_faults.hpp"
#include "tuned_numbers.hpp"

namespace bakewright::tune {
namespace {

constexpr double kAlike = 0.5;  // lag-one correlation from which neighbours do not look like noise
constexpr double kTold = 0.2;   // share of the prior's variance; less is as good as nothing
constexpr std::size_t kMostSteps = 8;
constexpr std::size_t kMostNamed = 3;  // of what the logs do not tell: the table has the rest
constexpr double kLargestLagOne = 0.97;

/// What a model leaves of one channel's readings.
struct Residuals {
    std::vector<double> time_s, off_k;
};

double mean_square_k2(const std::vector<Residuals>& channels) {
    double squares = 0.0, count = 0.0;
    for (const Residuals& channel : channels)
        for (const double off_k : channel.off_k) squares += off_k * off_k, count += 1.0;
    return count > 0.0 ? squares / count : 0.0;
}

/// How a bake's own numbers and probes were found.
struct FoundInBake {
    const BakeEstimate* bake = nullptr;
    const std::vector<ChannelFinding>* channels = nullptr;
};

/// The bake's readings less what a model of the task's records makes of them, with what was found of its air, start and probes;
/// where nothing was, with the records as they are.
std::vector<Residuals> residuals_of(const TuneTask& task, std::size_t b, const TuneOptions& options, const FoundInBake& found,
                                    const TimeSpan& span = {}) {
    const BakeModel model(task, b, options.drives_by_cycle);
    const bake::Uncertainty& prior = found.bake != nullptr ? found.bake->prior : options.prior;
    const bake::MemberSpace space(model.built(), task.shell, task.booth, prior);
    std::vector<std::vector<double>> members(1, std::vector<double>(space.numbers().size(), 0.0));
    std::vector<double>& normals = members.front();
    if (found.bake != nullptr)
        for (std::size_t n = 0; n < normals.size(); ++n)
            for (const EstimatedNumber& one : found.bake->numbers)
                if (one.number.is_of_one_bake() && one.number.kind == space.numbers()[n].kind &&
                    one.number.subject == space.numbers()[n].subject)
                    normals[n] = one.mean;
    const ModelTraces solved = model.solve(space, members).front();
    std::vector<Residuals> residuals;
    for (std::size_t c = 0; c < model.channels().size(); ++c) {
        ProbeResponse response;
        double offset_k = 0.0;
        if (found.channels != nullptr)
            for (const ChannelFinding& one : *found.channels)
                if (one.bake == task.bakes[b].name && one.channel == model.channels()[c]) {
                    response = {one.air_share.value_or(0.0), one.lag_s.value_or(0.0)};
                    offset_k = one.offset_k;
                }
        const std::vector<double> read = responded(solved.channel_k[c], solved.air_k, model.interval_s(), response);
        Residuals& made = residuals.emplace_back();
        for (const LoggedPoint& point : model.samples(c)) {
            if (!span.holds(point.time_s)) continue;
            made.time_s.push_back(point.time_s);
            made.off_k.push_back(on_grid(read, model.begin_s(), model.interval_s(), point.time_s) + offset_k -
                                 point.temperature_k);
        }
    }
    return residuals;
}

/// Size of what is left, and how alike neighbours are.
void add_residuals(TuneResult& result, const std::vector<Residuals>& channels) {
    double products = 0.0, squares = 0.0, differences = 0.0, span_s = 0.0, steps = 0.0, count = 0.0;
    for (const Residuals& channel : channels)
        for (std::size_t i = 0; i < channel.off_k.size(); ++i) {
            squares += channel.off_k[i] * channel.off_k[i], count += 1.0;
            if (i == 0) continue;
            products += channel.off_k[i] * channel.off_k[i - 1];
            differences += std::pow(channel.off_k[i] - channel.off_k[i - 1], 2);
            span_s += channel.time_s[i] - channel.time_s[i - 1], steps += 1.0;
        }
    if (squares <= 0.0) return;
    result.noise_k = std::sqrt(squares / count);
    result.lag_one = products / squares;
    result.durbin_watson = differences / squares;
    // A first-order series falls to exp(-dt / T) from one sample to the next; dt is the mean of all channels.
    if (result.lag_one > 0.0 && steps > 0.0)
        result.residual_time_s = -span_s / steps / std::log(std::min(result.lag_one, kLargestLagOne));
}

void add_records(TuneResult& result, const TuneTask& task, const bake::Uncertainty& prior) {
    TuneTask tuned = with_numbers({task.shell, task.booth, {}}, result.numbers);
    result.shell = std::move(tuned.shell);
    result.booth = std::move(tuned.booth);
    result.film_spread = film_spread_of(result.numbers, prior);
    result.booth.learned.film_spread = result.film_spread;
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
    Phrase untold;
    std::size_t untold_count = 0;
    for (const TunedNumber& number : result.numbers) {
        if (number.at_bound)
            result.warnings.push_back(Phrase(number.name).add(" ran to the end of its range: the cause lies elsewhere"));
        else if (number.told() < kTold && ++untold_count <= kMostNamed)
            untold.add(untold_count == 1 ? "the logs say next to nothing of " : ", ").add(number.name);
    }
    if (untold_count > kMostNamed) untold.add(fmt::format(" and {} more", untold_count - kMostNamed));
    if (untold_count > 0)
        result.warnings.push_back(untold.add(untold_count > 1 ? ": they keep" : ": it keeps").add(" what was believed before"));
    const auto used = result.used_k(), held_out = result.held_out_k();
    if (used && held_out && *held_out > 2.0 * *used && *held_out > probe_k)
        result.warnings.push_back(
            fmt::format("the error on what was held out is {:.2f} K against {:.2f} K on what was used: the logs "
                        "are few for so many numbers, or bakes differ in something that is not modelled",
                        *held_out, *used));
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
    Tuning(const TuneTask& task, const TuneOptions& options) : task_(task), options_(options) {}

    TuneResult run() {
        const auto began = std::chrono::steady_clock::now();
        look_at_each_bake();
        choose_numbers();
        for (std::size_t b = 0; b < task_.bakes.size(); ++b) {
            if (!is_held_out(b)) used_.push_back(b);
            result_.errors[b].before_k = rms_k(task_, b, {});
        }
        if (!hold_out() || !goes_on(0.8)) return {};
        learn();
        result_.is_complete = true;
        result_.compute_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count();
        return std::move(result_);
    }

private:
    [[nodiscard]] bool goes_on(double share) const { return !options_.progress || options_.progress(share); }
    [[nodiscard]] bool is_held_out(std::size_t b) const {
        return std::find(options_.held_out.begin(), options_.held_out.end(), task_.bakes[b].name) != options_.held_out.end();
    }

    /// Faults of each bake's channels and what it says of the model's errors, by its own estimate: a bake that cannot be
    /// estimated keeps what shows without a model.
    void look_at_each_bake() {
        for (std::size_t b = 0; b < task_.bakes.size(); ++b) {
            const TuneTask alone{task_.shell, task_.booth, {task_.bakes[b]}};
            EstimateOptions asked{.prior = options_.prior, .member_count = 1, .drives_by_cycle = options_.drives_by_cycle};
            asked.keeps_faults = options_.keeps_suspects;
            asked.number_step = options_.number_step;
            asked.thread_count = options_.thread_count;
            try {
                Estimate estimate = tune::estimate(alone, asked);
                result_.solves += estimate.solves;
                if (estimate.is_conditioned && !was_learned_from(b))
                    result_.evidence.push_back({task_.bakes[b].name, std::move(estimate.evidence)});
                for (ChannelFinding& channel : estimate.channels)
                    if (channel.fault) result_.suspects.push_back(std::move(channel));
            } catch (const InputError&) {
                add_condemned(alone);
            } catch (const SolveError&) {
                add_condemned(alone);
            }
        }
        leave_suspects_out();
    }
    /// A model that was tuned on a bake knew the answer.
    [[nodiscard]] bool was_learned_from(std::size_t b) const {
        const auto holds = [&](const bake::Learned& learned) {
            return std::find(learned.from.begin(), learned.from.end(), task_.bakes[b].name) != learned.from.end();
        };
        return holds(task_.shell.learned) || holds(task_.booth.learned);
    }
    void add_condemned(const TuneTask& alone) {
        if (options_.keeps_suspects) return;
        for (const CondemnedChannel& one : condemned_in(alone))
            result_.suspects.push_back({.bake = alone.bakes.front().name, .channel = one.channel, .fault = one.fault});
    }
    void leave_suspects_out() {
        for (const ChannelFinding& suspect : result_.suspects)
            for (std::size_t b = 0; b < task_.bakes.size(); ++b) {
                if (task_.bakes[b].name != suspect.bake) continue;
                if (probe::condemns_all(suspect.fault->kind))
                    put_aside(task_, b, suspect.channel);
                else
                    cut_off(task_, b, suspect.channel, suspect.fault->from_s);
            }
    }

    /// @throws InputError where there is nothing to learn from
    void choose_numbers() {
        std::deque<BakeModel> models;
        std::size_t channels = 0;
        for (std::size_t b = 0; b < task_.bakes.size(); ++b) {
            models.emplace_back(task_, b, options_.drives_by_cycle);
            channels += models.back().channels().size();
            BakeError error{.bake = task_.bakes[b].name};
            error.channels = models.back().channels().size();
            error.end_s = models.back().end_s();
            double squares = 0.0;
            for (const std::string& channel : models.back().channels())
                squares += std::pow(probe_standard_k(task_.bakes[b], channel), 2);
            if (error.channels > 0) error.probe_standard_k = std::sqrt(squares / static_cast<double>(error.channels));
            begin_s_.push_back(models.back().begin_s());
            result_.errors.push_back(std::move(error));
        }
        if (channels == 0)
            throw InputError(Problem{{},
                                     0,
                                     "bakes",
                                     "have no channel that bears the name of a zone, cavity or item of the shell (or none is "
                                     "left); import logs with --shell or --map so that channels carry the zones' names"});
        numbers_ = numbers_to_tune(task_, options_, models);
    }

    struct Fit {
        Estimate estimate;
        std::vector<TunedNumber> numbers;
        TuneTask tuned;  ///< all bakes, with what was learned from some
    };
    [[nodiscard]] Fit fitted(const std::vector<std::size_t>& bakes, const std::optional<TimeSpan>& leaves_out = {}) {
        TuneTask task = with_numbers({task_.shell, task_.booth, {}}, numbers_);
        if (options_.what.contains(Tunable::zones)) task.booth.learned.film_spread.reset();
        task.booth.record.reset();
        for (const std::size_t b : bakes) task.bakes.push_back(task_.bakes[b]);
        EstimateOptions asked{.prior = options_.prior, .member_count = 1, .drives_by_cycle = options_.drives_by_cycle};
        asked.keeps_faults = true;  // what looked wrong is left out already
        asked.thread_count = options_.thread_count;
        asked.step_count = kMostSteps;
        asked.number_step = options_.number_step;
        asked.leaves_out = leaves_out;
        asked.earlier_evidence = options_.earlier_evidence;
        Fit fit{tune::estimate(task, asked), {}, {}};
        result_.solves += fit.estimate.solves;
        if (!fit.estimate.is_conditioned) throw SolveError("tuning: " + fit.estimate.why_not);
        fit.numbers = told_of(numbers_, fit.estimate);
        fit.tuned = with_numbers(task_, fit.numbers);
        return fit;
    }
    /// RMS of a prediction [K]. @param found  of the bake where it was among those of a fit
    [[nodiscard]] double rms_k(const TuneTask& with, std::size_t b, const FoundInBake& found, const TimeSpan& span = {}) const {
        return std::sqrt(mean_square_k2(residuals_of(with, b, options_, found, span)));
    }
    [[nodiscard]] static FoundInBake found_in(const Fit& fit, std::size_t place) {
        return {&fit.estimate.bakes[place], &fit.estimate.channels};
    }

    /// Errors on what no fit saw: the bakes named, or each in turn, or of a single one each part of its time. @return false where
    /// progress said no
    bool hold_out() {
        const bool names_any = used_.size() < task_.bakes.size();
        if (!options_.holds_out || names_any) return true;
        if (used_.size() == 1) return hold_parts_out(used_.front());
        for (const std::size_t b : used_) {
            if (!goes_on(0.8 * static_cast<double>(b) / static_cast<double>(used_.size()))) return false;
            std::vector<std::size_t> others = used_;
            std::erase(others, b);
            result_.errors[b].held_out_k = rms_k(fitted(others).tuned, b, {});
        }
        return true;
    }
    bool hold_parts_out(std::size_t b) {
        const double length_s = (result_.errors[b].end_s - begin_s_[b]) / static_cast<double>(kParts);
        double squares = 0.0;
        for (std::size_t part = 0; part < kParts; ++part) {
            if (!goes_on(0.2 * static_cast<double>(part))) return false;
            const double from_s = begin_s_[b] + static_cast<double>(part) * length_s;
            const TimeSpan span{from_s, from_s + length_s};
            const Fit fit = fitted({b}, span);
            squares += mean_square_k2(residuals_of(fit.tuned, b, options_, found_in(fit, 0), span));
        }
        result_.errors[b].held_out_k = std::sqrt(squares / static_cast<double>(kParts));
        result_.errors[b].held_out_parts = kParts;
        return true;
    }

    void learn() {
        const Fit fit = fitted(used_);
        result_.converged = fit.estimate.is_settled;
        if (!result_.converged) result_.message = fmt::format("{} steps were not enough", kMostSteps);
        std::vector<Residuals> left;
        for (std::size_t place = 0; place < used_.size(); ++place) {
            const std::size_t b = used_[place];
            const std::vector<Residuals> of_it = residuals_of(fit.tuned, b, options_, found_in(fit, place));
            result_.errors[b].used_k = std::sqrt(mean_square_k2(of_it));
            left.insert(left.end(), of_it.begin(), of_it.end());
        }
        for (std::size_t b = 0; b < task_.bakes.size(); ++b)
            if (is_held_out(b)) result_.errors[b].held_out_k = rms_k(fit.tuned, b, {});
        result_.numbers = fit.numbers;
        for (const ChannelFinding& one : fit.estimate.channels)
            result_.probes.push_back({one.bake, one.channel, one.offset_k, one.offset_standard_k, one.air_share,
                                      one.air_share_standard, one.lag_s, one.lag_standard_s});
        result_.weak = weak_combinations(result_.numbers);
        result_.correlated = correlated_pairs(result_.numbers);
        add_residuals(result_, left);
        add_records(result_, task_, options_.prior);
        add_warnings(result_);
    }

    TuneTask task_;  ///< without what is condemned
    const TuneOptions& options_;
    TuneResult result_;
    std::vector<TunedNumber> numbers_;  ///< as believed beforehand
    std::vector<std::size_t> used_;
    std::vector<double> begin_s_;
};

}  // namespace

TuneResult tune(const TuneTask& task, const TuneOptions& options) {
    refuse_problems(task, options);
    return Tuning(task, options).run();
}

std::optional<double> TuneResult::used_k() const { return root_mean_square(errors, &BakeError::used_k); }
std::optional<double> TuneResult::held_out_k() const { return root_mean_square(errors, &BakeError::held_out_k); }

}  // namespace bakewright::tune
