// SPDX-License-Identifier: Apache-2.0
#include "bakewright/tune/causes.hpp"

#include <algorithm>
#include <cmath>

#include "bake_model.hpp"

namespace bakewright::tune {
namespace {

using bake::LearnedKind;

constexpr double kLeastExplained = 0.05;
constexpr double kCauseFactorStep = 0.03, kCauseKelvinStep = 0.5;

/// A cause with what moves in the model for it.
struct Moved {
    Cause::Kind kind;
    std::vector<std::size_t> unknowns;
    double step;
};

std::vector<Moved> causes_of(const std::vector<Unknown>& unknowns) {
    std::vector<Moved> causes{{Cause::Kind::air, {}, kCauseKelvinStep},
                              {Cause::Kind::film, {}, kCauseFactorStep},
                              {Cause::Kind::mass, {}, kCauseFactorStep},
                              {Cause::Kind::links, {}, kCauseFactorStep}};
    for (std::size_t u = 0; u < unknowns.size(); ++u) {
        const Unknown& unknown = unknowns[u];
        const bool is_learned = unknown.kind == Unknown::Kind::learned;
        if (unknown.kind == Unknown::Kind::air_probe || (is_learned && unknown.learned == LearnedKind::air_offset))
            causes[0].unknowns.push_back(u);
        if (is_learned && unknown.learned == LearnedKind::group_film) causes[1].unknowns.push_back(u);
        if (is_learned && unknown.learned == LearnedKind::thickness) causes[2].unknowns.push_back(u);
        if (is_learned && unknown.learned == LearnedKind::link) causes[3].unknowns.push_back(u);
    }
    std::erase_if(causes, [](const Moved& cause) { return cause.unknowns.empty(); });
    return causes;
}

/// Sums of one pattern against the difference: least squares of difference = -amount * pattern.
struct Pattern {
    double products = 0.0, squares = 0.0;
    void add(double pattern, double difference_k) { products -= pattern * difference_k, squares += pattern * pattern; }
    [[nodiscard]] double amount() const noexcept { return squares > 0.0 ? products / squares : 0.0; }
    [[nodiscard]] double taken_away() const noexcept { return squares > 0.0 ? products * products / squares : 0.0; }
};

double at(const std::vector<float>& values, const BakeModel& model, double time_s) {
    const double place = (time_s - model.begin_s()) / model.interval_s();
    const auto below = std::min(static_cast<std::size_t>(std::max(place, 0.0)), values.size() - 2);
    return values[below] + (place - static_cast<double>(below)) * (static_cast<double>(values[below + 1]) - values[below]);
}

}  // namespace

std::vector<Cause> likely_causes(const bake::Shell& shell, const bake::Booth& booth, const LoggedBake& bake) {
    const TuneTask task{shell, booth, {bake}};
    TuneOptions options;
    options.what = {Tunable::film, Tunable::masses, Tunable::links, Tunable::air};
    options.drives_by_cycle = bake.cycle.has_value();
    BakeModel model(task, 0, options);
    if (model.channels().empty())
        throw InputError(Problem{{}, 0, bake.name, "has no channel that bears the name of a zone, cavity or item of the shell"});
    std::vector<Unknown> unknowns = unknowns_for(task, options, {model.facts()}, 0.1);
    std::erase_if(unknowns, [](const Unknown& unknown) { return !unknown.is_of_model(); });
    model.set_unknowns(unknowns);
    std::vector<ModelPoint> points(1);
    for (const Unknown& unknown : unknowns) points.front().push_back(unknown.start);
    const std::vector<Moved> moved = causes_of(unknowns);
    for (const Moved& cause : moved) {
        points.push_back(points.front());
        const double sign =
            unknowns[cause.unknowns.front()].kind == Unknown::Kind::air_probe ? -1.0 : 1.0;  // what a probe reads too much
        for (const std::size_t u : cause.unknowns) points.back()[u] += sign * cause.step;
    }
    const std::vector<ModelTraces> traces = model.solve(points);
    std::vector<Pattern> patterns(moved.size());
    std::vector<Cause> causes;
    double all_k2 = 0.0;
    for (std::size_t c = 0; c < model.channels().size(); ++c) {
        Pattern loose, offset;
        for (const LoggedPoint& point : model.samples(c)) {
            const double zone_k = at(traces[0].channel_k[c], model, point.time_s);
            const double difference_k = zone_k - point.temperature_k;
            all_k2 += difference_k * difference_k;
            for (std::size_t m = 0; m < moved.size(); ++m)
                patterns[m].add((at(traces[m + 1].channel_k[c], model, point.time_s) - zone_k) / moved[m].step, difference_k);
            if (model.is_surface(c)) loose.add(at(traces[0].air_k, model, point.time_s) - zone_k, difference_k);
            offset.add(1.0, difference_k);
        }
        if (loose.amount() > 0.0)
            causes.push_back({Cause::Kind::loose_probe, model.channels()[c], loose.amount(), loose.taken_away()});
        causes.push_back({Cause::Kind::probe_offset, model.channels()[c], offset.amount(), offset.taken_away()});
    }
    for (std::size_t m = 0; m < moved.size(); ++m) {
        const double amount = patterns[m].amount();
        causes.push_back(
            {moved[m].kind, {}, moved[m].kind == Cause::Kind::air ? amount : std::exp(amount), patterns[m].taken_away()});
    }
    for (Cause& cause : causes) cause.explained = all_k2 > 0.0 ? std::clamp(cause.explained / all_k2, 0.0, 1.0) : 0.0;
    std::erase_if(causes, [](const Cause& cause) { return cause.explained < kLeastExplained; });
    std::stable_sort(causes.begin(), causes.end(), [](const Cause& a, const Cause& b) { return a.explained > b.explained; });
    return causes;
}

}  // namespace bakewright::tune
