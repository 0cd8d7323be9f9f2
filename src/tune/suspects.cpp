// SPDX-License-Identifier: Apache-2.0
#include "suspects.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "bake_model.hpp"

namespace bakewright::tune {
namespace {

constexpr double kBandSteps[]{-2.0, -1.0, 0.0, 1.0, 2.0};  // standard deviations of the film
constexpr double kExchangedShare = 0.25, kSuspicious_k = 1.5;
constexpr double kLooseShare = 0.4, kLooseGain = 0.5;
constexpr double kSinceShares[]{0.0, 0.15, 0.3, 0.45, 0.6, 0.75};  // of the bake

/// Model and log of one bake side by side, for each film that was tried.
class Signatures {
public:
    Signatures(const BakeModel& model, std::vector<ModelTraces> tried) : model_(model), tried_(std::move(tried)) {}

    /// Mean square of model channel against logged channel.
    [[nodiscard]] double mean_square_k2(std::size_t film, std::size_t zone, std::size_t logged) const {
        double sum = 0.0;
        for (const LoggedPoint& point : model_.samples(logged)) {
            const double off_k = zone_k(film, zone, point.time_s) - point.temperature_k;
            sum += off_k * off_k;
        }
        return sum / static_cast<double>(model_.samples(logged).size());
    }
    [[nodiscard]] std::size_t films() const noexcept { return tried_.size(); }

    struct Loose {
        double share = 0.0, from_s = 0.0, rms_k = 0.0;
    };
    /// Least squares of reading - zone = offset + share (air - zone) after a moment, offset before it.
    [[nodiscard]] Loose loose_since(std::size_t film, std::size_t channel, double from_s) const {
        double n = 0.0, sx = 0.0, sy = 0.0, sxx = 0.0, sxy = 0.0, syy = 0.0;
        for (const LoggedPoint& point : model_.samples(channel)) {
            const double zone = zone_k(film, channel, point.time_s);
            const double x = point.time_s >= from_s ? air_k(film, point.time_s) - zone : 0.0;
            const double y = point.temperature_k - zone;
            n += 1.0, sx += x, sy += y, sxx += x * x, sxy += x * y, syy += y * y;
        }
        const double spread = sxx - sx * sx / n;
        const double share = spread > 0.0 ? std::clamp((sxy - sx * sy / n) / spread, 0.0, 1.2) : 0.0;
        const double offset = (sy - share * sx) / n;
        const double squares =
            syy - 2.0 * offset * sy - 2.0 * share * sxy + n * offset * offset + 2.0 * offset * share * sx + share * share * sxx;
        return {share, from_s, std::sqrt(std::max(0.0, squares / n))};
    }

private:
    [[nodiscard]] double at(std::span<const float> values, double time_s) const {
        const double place = (time_s - model_.begin_s()) / model_.interval_s();
        const auto below = std::min(static_cast<std::size_t>(std::max(place, 0.0)), values.size() - 2);
        const double low = values[below], high = values[below + 1];
        return low + (place - static_cast<double>(below)) * (high - low);
    }
    [[nodiscard]] double zone_k(std::size_t film, std::size_t channel, double time_s) const {
        return at(tried_[film].channel_k[channel], time_s);
    }
    [[nodiscard]] double air_k(std::size_t film, double time_s) const { return at(tried_[film].air_k, time_s); }

    const BakeModel& model_;
    std::vector<ModelTraces> tried_;
};

std::vector<Suspect> exchanged(const Signatures& signatures, const BakeModel& model, const std::string& bake) {
    std::vector<Suspect> found;
    std::vector<bool> taken(model.channels().size(), false);
    for (std::size_t a = 0; a < taken.size(); ++a) {
        for (std::size_t b = a + 1; b < taken.size(); ++b) {
            if (taken[a] || taken[b]) continue;
            double as_named = std::numeric_limits<double>::infinity(), as_exchanged = as_named;
            for (std::size_t film = 0; film < signatures.films(); ++film) {
                as_named = std::min(as_named, signatures.mean_square_k2(film, a, a) + signatures.mean_square_k2(film, b, b));
                as_exchanged =
                    std::min(as_exchanged, signatures.mean_square_k2(film, a, b) + signatures.mean_square_k2(film, b, a));
            }
            const double rms_k = std::sqrt(as_named / 2.0), then_k = std::sqrt(as_exchanged / 2.0);
            if (as_exchanged > kExchangedShare * as_named || rms_k - then_k < kSuspicious_k) continue;
            taken[a] = taken[b] = true;
            found.push_back({Suspect::Kind::exchanged, bake, model.channels()[a], model.channels()[b], 0.0, 0.0, rms_k, then_k});
        }
    }
    return found;
}

std::optional<Suspect> loose(const Signatures& signatures, const BakeModel& model, std::size_t channel, const std::string& bake) {
    double held_k = std::numeric_limits<double>::infinity();
    Signatures::Loose best{0.0, 0.0, held_k};
    for (std::size_t film = 0; film < signatures.films(); ++film) {
        held_k = std::min(held_k, signatures.loose_since(film, channel, std::numeric_limits<double>::infinity()).rms_k);
        for (const double since : kSinceShares) {
            const double from_s = model.begin_s() + since * (model.end_s() - model.begin_s());
            const Signatures::Loose tried = signatures.loose_since(film, channel, from_s);
            if (tried.rms_k < best.rms_k) best = tried;
        }
    }
    if (held_k < kSuspicious_k || best.share < kLooseShare || best.rms_k > kLooseGain * held_k) return std::nullopt;
    return Suspect{Suspect::Kind::loose, bake, model.channels()[channel], {}, best.share, best.from_s, held_k, best.rms_k};
}

}  // namespace

std::vector<Suspect> suspects_in(const TuneTask& task, std::size_t bake, BakeModel& model, const TuneOptions& options) {
    TuneOptions films = options;
    films.what = {Tunable::film};
    std::vector<Unknown> unknowns = unknowns_for(task, films, {model.facts()}, 0.1);
    std::erase_if(unknowns, [](const Unknown& unknown) { return unknown.kind != Unknown::Kind::learned; });
    model.set_unknowns(unknowns);
    std::vector<ModelPoint> points;
    for (const double steps : kBandSteps) {
        points.emplace_back();
        for (const Unknown& unknown : unknowns) points.back().push_back(steps * unknown.prior_standard);
    }
    const Signatures signatures(model, model.solve(points));
    const std::string& name = task.bakes[bake].name;
    std::vector<Suspect> found = exchanged(signatures, model, name);
    const std::vector<Suspect> pairs = found;
    for (std::size_t channel = 0; channel < model.channels().size(); ++channel) {
        const std::string& own = model.channels()[channel];
        const bool is_taken =
            std::any_of(pairs.begin(), pairs.end(), [&](const Suspect& pair) { return pair.channel == own || pair.with == own; });
        if (is_taken || !model.is_surface(channel)) continue;
        if (const auto suspect = loose(signatures, model, channel, name)) found.push_back(*suspect);
    }
    return found;
}

}  // namespace bakewright::tune
