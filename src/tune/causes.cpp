// SPDX-License-Identifier: Apache-2.0
#include "bakewright/tune/causes.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "bake_model.hpp"
#include "bakewright/base/error.hpp"
#include "bakewright/thermal/ensemble.hpp"

namespace bakewright::tune {
namespace {

constexpr double kLeastExplained = 0.05;
constexpr double kCauseFactorStep = 0.03, kCauseKelvinStep = 0.5;

/// A cause with the factors of the network that move for it, all alike; of the air none do.
struct Moved {
    Cause::Kind kind;
    std::vector<thermal::FactorIndex> factors{}, inverse{};

    [[nodiscard]] double step() const noexcept { return kind == Cause::Kind::air ? kCauseKelvinStep : kCauseFactorStep; }
    /// @param full_rise_k  at which air that is given is off by all of it; nothing where it is off evenly
    void move(thermal::EnsembleMember& member, const std::optional<double>& full_rise_k, double ambient_k) const {
        for (const thermal::FactorIndex factor : factors) member.numbers.factor[factor] *= std::exp(kCauseFactorStep);
        for (const thermal::FactorIndex factor : inverse) member.numbers.factor[factor] *= std::exp(-kCauseFactorStep);
        if (kind != Cause::Kind::air) return;
        const double share = full_rise_k ? kCauseKelvinStep / *full_rise_k : 0.0;
        member.numbers.boundary_gain[0] += share;
        member.numbers.boundary_offset_k[0] += full_rise_k ? -share * ambient_k : kCauseKelvinStep;
    }
};

std::vector<Moved> causes_of(const bake::BuiltNetwork& built) {
    std::vector<Moved> causes{{Cause::Kind::air}, {Cause::Kind::film}, {Cause::Kind::mass}, {Cause::Kind::links}};
    for (const bake::NetworkFactor& factor : built.factors) {
        if (factor.kind == bake::FactorKind::film) causes[1].factors.push_back(factor.index);
        if (factor.kind == bake::FactorKind::thickness) causes[2].factors.push_back(factor.index);
        if (factor.kind == bake::FactorKind::through) causes[2].inverse.push_back(factor.index);
        if (factor.kind == bake::FactorKind::link) causes[3].factors.push_back(factor.index);
    }
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
    const BakeModel model(task, 0, bake.cycle.has_value());
    if (model.channels().empty())
        throw InputError(Problem{{}, 0, bake.name, "has no channel that bears the name of a zone, cavity or item of the shell"});
    const std::vector<Moved> moved = causes_of(model.built());
    std::optional<double> full_rise_k;
    if (!model.is_replay() && !model.built().booth) full_rise_k = booth.rise_of_full_offset_k();
    const auto generate = [&](std::size_t index, thermal::EnsembleMember& member) {
        if (index > 0) moved[index - 1].move(member, full_rise_k, booth.ambient_k);
    };
    const std::vector<ModelTraces> traces = model.solve(moved.size() + 1, generate);
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
                patterns[m].add((at(traces[m + 1].channel_k[c], model, point.time_s) - zone_k) / moved[m].step(), difference_k);
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
