// SPDX-License-Identifier: Apache-2.0
#include "bake_fit.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "bake_model.hpp"
#include "bakewright/base/error.hpp"
#include "bakewright/base/work.hpp"

namespace bakewright::tune {
namespace {

constexpr std::array kPassTolerance{1e-3, 1e-4, 1e-6};            // the first passes only have to tell noise and spread
constexpr int kPasses = static_cast<int>(kPassTolerance.size());  // noise and spread settle to a per cent
constexpr double kLagStep_s = 0.5;
constexpr double kLeastNoise_k = 0.02;
constexpr double kLargestLagOne = 0.97;
/// Standard deviations of the plain noise beyond which a residual pulls only in proportion; Huber's 1.345 at 95 % efficiency.
constexpr double kRobustFrom = 1.345;
/// A prior for the spread of zones' films weighs as much as so many zones; common practice.
constexpr double kSpreadWeight = 4.0;

/// Where a probe's unknowns stand; nothing where there is none.
struct ProbePlaces {
    std::optional<std::size_t> offset, share, lag;
};
ProbePlaces places_of(const std::vector<Unknown>& unknowns, std::size_t bake, const std::string& channel) {
    ProbePlaces places;
    for (std::size_t u = 0; u < unknowns.size(); ++u) {
        if (unknowns[u].is_of_model() || unknowns[u].bake != bake || unknowns[u].subject != channel) continue;
        if (unknowns[u].kind == Unknown::Kind::probe_offset) places.offset = u;
        if (unknowns[u].kind == Unknown::Kind::probe_share) places.share = u;
        if (unknowns[u].kind == Unknown::Kind::probe_lag) places.lag = u;
    }
    return places;
}

ProbeResponse response_at(const ProbePlaces& places, std::span<const double> at) {
    return {places.share ? at[*places.share] : 0.0, places.lag ? at[*places.lag] : 0.0};
}

double spread_prior(const TuneOptions& options) { return std::log1p(options.prior.zone_film) / bake::kDeviationsTo95; }

/// The spread of zones about their groups, with a prior of the weight of some zones (an inverse gamma's mode).
double estimated_spread(const std::vector<Unknown>& unknowns, const FitResult& result, double prior) {
    double weight = kSpreadWeight, squares = kSpreadWeight * prior * prior;
    for (std::size_t u = 0; u < unknowns.size(); ++u) {
        if (unknowns[u].kind != Unknown::Kind::learned || unknowns[u].learned != bake::LearnedKind::zone_film) continue;
        weight += 1.0;
        squares += result.value[u] * result.value[u] + result.standard_error[u] * result.standard_error[u];
    }
    return std::sqrt(squares / weight);
}

}  // namespace

std::vector<Unknown> BakeFitter::unknowns(const FitScope& scope, double film_spread) {
    std::vector<BakeFacts> facts;
    for (std::size_t b = 0; b < models_.size(); ++b) {
        facts.push_back(models_[b].facts());
        if (!scope.uses_bake[b]) facts.back().channels.clear(), facts.back().is_surface.clear(), facts.back().tells_modes = false;
    }
    TuneOptions asked = options_;
    if (!scope.with_zones) asked.what.erase(Tunable::zones);
    std::vector<Unknown> found = unknowns_for(task_, asked, facts, film_spread);
    std::erase_if(found, [&](const Unknown& unknown) {
        return unknown.is_of_model() && unknown.kind != Unknown::Kind::learned && !scope.uses_bake[unknown.bake];
    });
    return found;
}

void BakeFitter::lay_out(const FitScope& scope) {
    series_.clear();
    residual_count_ = 0;
    uses_bake_ = scope.uses_bake;
    for (std::size_t b = 0; b < models_.size(); ++b) {
        if (!scope.uses_bake[b]) continue;
        for (std::size_t c = 0; c < models_[b].channels().size(); ++c) {
            Series series{b, c, residual_count_, models_[b].samples(c)};
            if (scope.leaves_out)
                std::erase_if(series.points, [&](const LoggedPoint& point) { return scope.leaves_out->holds(point.time_s); });
            residual_count_ += series.points.size();
            if (!series.points.empty()) series_.push_back(std::move(series));
        }
    }
    if (residual_count_ == 0)
        throw InputError(Problem{{},
                                 0,
                                 "bakes",
                                 "have no channel that bears the name of a zone, cavity or item of the shell (or none is left); "
                                 "import logs with --shell or --map so that channels carry the zones' names"});
}

std::vector<std::vector<ModelTraces>> BakeFitter::solve_all(std::span<const ModelPoint> points, const std::vector<bool>& uses) {
    std::vector<std::vector<ModelTraces>> traces(models_.size());
    for_each_index(models_.size(), options_.thread_count, [&](std::size_t bake, std::size_t) {
        if (uses[bake]) traces[bake] = models_[bake].solve(points);
        return true;
    });
    solves_ += points.size() * static_cast<std::size_t>(std::count(uses.begin(), uses.end(), true));
    return traces;
}

/// Residuals and derivatives [K] at a point; kept, since both are asked for at one point one after the other, and lanes are
/// cheap.
void BakeFitter::evaluate(const std::vector<Unknown>& unknowns, std::span<const double> at) {
    if (std::equal(at.begin(), at.end(), last_.at.begin(), last_.at.end())) return;
    std::vector<ModelPoint> points;
    const auto model_end = std::find_if(unknowns.begin(), unknowns.end(), [](const Unknown& u) { return !u.is_of_model(); });
    const auto model_count = static_cast<std::size_t>(model_end - unknowns.begin());
    points.emplace_back(at.begin(), at.begin() + static_cast<std::ptrdiff_t>(model_count));
    for (std::size_t u = 0; u < model_count; ++u) {
        points.push_back(points.front());
        points.back()[u] += unknowns[u].step();
    }
    const auto traces = solve_all(points, uses_bake_);
    last_.at.assign(at.begin(), at.end());
    last_.residual_k.assign(residual_count_, 0.0);
    last_.jacobian_k.assign(residual_count_ * unknowns.size(), 0.0);
    for (const Series& series : series_) evaluate_series(series, traces[series.bake], unknowns, at);
}

void BakeFitter::evaluate_series(const Series& series, const std::vector<ModelTraces>& traces,
                                 const std::vector<Unknown>& unknowns, std::span<const double> at) {
    const BakeModel& model = models_[series.bake];
    const ProbePlaces places = places_of(unknowns, series.bake, model.channels()[series.channel]);
    const ProbeResponse response = response_at(places, at);
    const auto read = [&](const ModelTraces& from, const ProbeResponse& with) {
        return responded(from.channel_k[series.channel], from.air_k, model.interval_s(), with);
    };
    const auto fill = [&](std::size_t unknown, const std::vector<double>& moved, const std::vector<double>& base, double step) {
        for (std::size_t i = 0; i < series.points.size(); ++i) {
            const double time_s = series.points[i].time_s;
            const double slope = (on_grid(moved, model.begin_s(), model.interval_s(), time_s) -
                                  on_grid(base, model.begin_s(), model.interval_s(), time_s)) /
                                 step;
            last_.jacobian_k[(series.first + i) * unknowns.size() + unknown] = slope;
        }
    };
    const std::vector<double> base = read(traces.front(), response);
    for (std::size_t u = 0; u + 1 < traces.size(); ++u) fill(u, read(traces[u + 1], response), base, unknowns[u].step());
    if (places.lag) fill(*places.lag, read(traces.front(), {response.air_share, response.lag_s + kLagStep_s}), base, kLagStep_s);
    if (places.share) fill(*places.share, read(traces.front(), {response.air_share + 0.1, response.lag_s}), base, 0.1);  // linear
    for (std::size_t i = 0; i < series.points.size(); ++i) {
        const LoggedPoint& point = series.points[i];
        const double offset_k = places.offset ? at[*places.offset] : 0.0;
        last_.residual_k[series.first + i] =
            on_grid(base, model.begin_s(), model.interval_s(), point.time_s) + offset_k - point.temperature_k;
        if (places.offset) last_.jacobian_k[(series.first + i) * unknowns.size() + *places.offset] = 1.0;
    }
}

FitResult BakeFitter::pass(const std::vector<Unknown>& unknowns, double sigma_k, double robust_from, double tolerance) {
    FitProblem problem;
    for (const Unknown& unknown : unknowns) problem.parameters.push_back(unknown.parameter());
    problem.residual_count = residual_count_;
    for (const Series& series : series_) problem.series.emplace_back(series.first, series.first + series.points.size());
    last_.at.clear();
    problem.evaluate = [&](std::span<const double> at, std::span<double> residual, std::span<double> jacobian) {
        evaluate(unknowns, at);
        std::transform(last_.residual_k.begin(), last_.residual_k.end(), residual.begin(), [&](double k) { return k / sigma_k; });
        if (!jacobian.empty())
            std::transform(last_.jacobian_k.begin(), last_.jacobian_k.end(), jacobian.begin(),
                           [&](double k) { return k / sigma_k; });
        return true;
    };
    return tune::fit(problem, {.robust_from = robust_from, .largest_iteration_count = 50, .tolerance = tolerance});
}

BakeFit BakeFitter::fit(const FitScope& scope) {
    lay_out(scope);
    solves_ = 0;
    BakeFit made;
    made.film_spread = spread_prior(options_);
    double sigma_k = 1.0, robust_from = kRobustFrom;
    for (int p = 0; p < kPasses; ++p) {
        std::vector<Unknown> unknowns = this->unknowns(scope, made.film_spread);
        for (std::size_t u = 0; u < unknowns.size() && p > 0; ++u)
            unknowns[u].start = std::clamp(made.result.value[u], unknowns[u].lower, unknowns[u].upper);
        made.model_count = static_cast<std::size_t>(
            std::count_if(unknowns.begin(), unknowns.end(), [](const Unknown& unknown) { return unknown.is_of_model(); }));
        const std::vector<Unknown> of_model(unknowns.begin(), unknowns.begin() + static_cast<std::ptrdiff_t>(made.model_count));
        for (BakeModel& model : models_) model.set_unknowns(of_model);
        made.result = pass(unknowns, sigma_k, robust_from, kPassTolerance[static_cast<std::size_t>(p)]);
        made.unknowns = std::move(unknowns);
        made.noise_k = std::max(kLeastNoise_k, made.result.scatter * sigma_k);
        made.film_spread = estimated_spread(made.unknowns, made.result, spread_prior(options_));
        // Neighbours that are alike say less than as many that are not: n (1 - r) / (1 + r) count (Bayley & Hammersley,
        // J. R. Stat. Soc. Suppl. 8 (1946) 184, for a first-order series).
        const double lag_one = std::clamp(made.result.lag_one, 0.0, kLargestLagOne);
        const double widening = std::sqrt((1.0 + lag_one) / (1.0 - lag_one));
        sigma_k = made.noise_k * widening;
        robust_from = kRobustFrom / widening;
    }
    made.residual_time_s = residual_time_s(made.result.lag_one);
    made.solves = solves_;
    return made;
}

/// A first-order series falls to exp(-dt / T) from one sample to the next; dt is the mean of all channels.
double BakeFitter::residual_time_s(double lag_one) const {
    double span_s = 0.0, steps = 0.0;
    for (const Series& series : series_) {
        span_s += series.points.back().time_s - series.points.front().time_s;
        steps += static_cast<double>(series.points.size() - 1);
    }
    if (lag_one <= 0.0 || steps <= 0.0) return 0.0;
    return -span_s / steps / std::log(std::min(lag_one, kLargestLagOne));
}

double BakeFitter::rms_k(const BakeFit& fit, std::size_t bake, const TimeSpan& span) {
    BakeModel& model = models_[bake];
    model.set_unknowns({fit.unknowns.begin(), fit.unknowns.begin() + static_cast<std::ptrdiff_t>(fit.model_count)});
    std::vector<bool> uses(models_.size(), false);
    uses[bake] = true;
    const std::vector<ModelPoint> points{fit.model_point()};
    const auto traces = solve_all(points, uses);
    double squares = 0.0, count = 0.0;
    for (std::size_t c = 0; c < model.channels().size(); ++c) {
        const ProbePlaces places = places_of(fit.unknowns, bake, model.channels()[c]);
        const auto read = responded(traces[bake][0].channel_k[c], traces[bake][0].air_k, model.interval_s(),
                                    response_at(places, fit.result.value));
        const double offset_k = places.offset ? fit.result.value[*places.offset] : 0.0;
        for (const LoggedPoint& point : model.samples(c)) {
            if (!span.holds(point.time_s)) continue;
            squares +=
                std::pow(on_grid(read, model.begin_s(), model.interval_s(), point.time_s) + offset_k - point.temperature_k, 2);
            count += 1.0;
        }
    }
    return count > 0.0 ? std::sqrt(squares / count) : 0.0;
}

double BakeFitter::rms_before_k(std::size_t bake) {
    FitScope none{std::vector<bool>(models_.size(), true)};
    BakeFit before;
    before.unknowns = unknowns(none, spread_prior(options_));
    std::erase_if(before.unknowns, [](const Unknown& unknown) { return unknown.kind != Unknown::Kind::learned; });
    before.model_count = before.unknowns.size();
    for (const Unknown& unknown : before.unknowns) before.result.value.push_back(unknown.start);
    return rms_k(before, bake);
}

}  // namespace bakewright::tune
