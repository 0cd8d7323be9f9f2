#include <fmt/core.h>

#include <algorithm>

#include "bakewright/cure/confidence.hpp"
#include "bakewright/cure/judge.hpp"
#include "bakewright/plan/ensemble.hpp"

namespace bakewright::plan {
namespace {

/// From the 5 % to the 95 % quantile of a normal distribution, in standard deviations.
constexpr double kDeviationsOfBand = 2.0 * 1.6448536269514722;

cure::Certainty predicted_certainty(const cure::WordProbabilities& words) {
    cure::Certainty certainty = cure::certainty_of(words);
    certainty.is_predicted = true;
    return certainty;
}

}  // namespace

std::string ensemble_origin(std::size_t member_count) {
    return fmt::format("{} simulated bakes with the unknowns varied: films, thicknesses, links, air and start", member_count);
}

double TemperatureBand::plateau_standard_k() const {
    if (median_k.empty()) return 0.0;
    const double peak_k = *std::max_element(median_k.begin(), median_k.end());
    double sum_k = 0.0, count = 0.0;
    for (std::size_t i = 0; i < median_k.size(); ++i) {
        if (median_k[i] < peak_k - kPlateauK) continue;
        sum_k += (high_k[i] - low_k[i]) / kDeviationsOfBand;
        count += 1.0;
    }
    return sum_k / count;
}

void add_certainty(cure::BakeVerdict& verdict, const EnsemblePrediction& ensemble, std::string origin) {
    verdict.uncertainty_origin = std::move(origin);
    verdict.standard_uncertainty_k = 0.0;
    for (cure::ZoneVerdict& zone : verdict.zones) {
        const auto chances =
            std::find_if(ensemble.zones.begin(), ensemble.zones.end(), [&](const auto& one) { return one.zone == zone.zone; });
        if (zone.word == cure::Word::not_judged || chances == ensemble.zones.end() || !chances->coated) continue;
        cure::Certainty certainty = predicted_certainty(chances->words);
        const bool time_helps = certainty.best != cure::Word::over && chances->words.over < 1.0 - cure::kSure;
        const std::optional<double> more_s = chances->more_hold_s();
        if (certainty.too_close && time_helps && more_s.value_or(0.0) > 0.0) certainty.more_time_s = more_s;
        cure::settle(zone, std::move(certainty));
    }
    for (cure::ItemVerdict& item : verdict.items) {
        const auto chances =
            std::find_if(ensemble.items.begin(), ensemble.items.end(), [&](const auto& one) { return one.item == item.item; });
        if (item.word != cure::Word::not_judged && item.no_limit_known_of.empty() && chances != ensemble.items.end())
            cure::settle(item, predicted_certainty(chances->words));
    }
    verdict.chance = ensemble.chance;
    cure::sort_worst_first(verdict);
}

}  // namespace bakewright::plan
