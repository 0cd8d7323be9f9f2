#include "offset_scenarios.hpp"

#include "bakewright/base/error.hpp"
#include "bakewright/cure/dose.hpp"
#include "bakewright/cure/readings.hpp"

namespace bakewright::cure {
namespace {

constexpr double kInfinity = std::numeric_limits<double>::infinity();

double chance_below(double deviations) {
    if (std::isinf(deviations)) return deviations > 0.0 ? 1.0 : 0.0;
    return conformance_probability(0.0, 1.0, std::nullopt, deviations);
}

}  // namespace

WordProbabilities probabilities_of(const std::vector<Scenario>& scenarios) {
    WordProbabilities sum;
    for (const Scenario& scenario : scenarios) {
        const double under = chance_below(std::min(scenario.cured_from, scenario.too_much_from));
        const double over = 1.0 - chance_below(scenario.too_much_from);
        sum.under += scenario.weight * under;
        sum.over += scenario.weight * over;
        sum.good += scenario.weight * std::max(1.0 - under - over, 0.0);
    }
    return sum;
}

std::optional<double> sharper_factor(const std::vector<Scenario>& scenarios, Word best) {
    double margin = kInfinity;
    for (const Scenario& scenario : scenarios) {
        if (scenario.word_at(0.0) != best) return std::nullopt;
        margin = std::min(margin, scenario.margin());
    }
    const double factor = margin / guard_band(1.0);
    if (!(factor < 1.0) || factor <= 0.0) return std::nullopt;
    return factor;
}

void CoatOffsets::add(const Trace& schedule, double peak_k, double standard_k) {
    ensure(standard_k > 0.0, "a standard uncertainty is above 0");
    parts_.emplace_back(schedule, curves_.coating.floor_k - kFarthestDeviations * standard_k, peak_k, standard_k);
}

double CoatOffsets::largest_standard_k() const {
    double largest_k = 0.0;
    for (const Part& part : parts_) largest_k = std::max(largest_k, part.standard_k);
    return largest_k;
}

double CoatOffsets::over_bake_dose(const RequiredTime& curve, double deviations) const {
    double sum = 0.0;
    for (const Part& part : parts_) sum += part.occupancy.dose(curve, deviations * part.standard_k);
    return sum;
}

double CoatOffsets::cured_from() const {
    double least = kInfinity;
    for (const Part& part : parts_)
        least = std::min(least, critical_deviations([&](double deviations) {
                             return read_window(part.stays, curves_.window, deviations * part.standard_k).is_cured();
                         }));
    return least;
}

double CoatOffsets::over_baked_from(const RequiredTime& curve) const {
    return critical_deviations([&](double deviations) { return over_bake_dose(curve, deviations) > 1.0 + kDoseRounding; });
}

double CoatOffsets::too_hot_from() const {
    double least = kInfinity;
    if (curves_.coating.absolute_maximum_k)
        for (const Part& part : parts_)
            least =
                std::min(least, (*curves_.coating.absolute_maximum_k + kTemperatureRoundingK - part.peak_k) / part.standard_k);
    return least;
}

/// The window is the sheet's; how long is too long hangs on the activation energy.
std::vector<Scenario> CoatOffsets::scenarios() const {
    const double cured = cured_from(), too_hot = too_hot_from();
    if (!curves_.maximum) return {{1.0, cured, too_hot}};
    std::vector<Scenario> found;
    for (std::size_t i = 0; i < kEnergyWeights.size(); ++i)
        found.push_back({kEnergyWeights[i], cured, std::min(too_hot, over_baked_from((*curves_.maximum)[i]))});
    return found;
}

double CoatOffsets::missing_s(double deviations) const {
    if (parts_.size() != 1) return curves_.window.reference().minimum_s;
    const Part& part = parts_.front();
    return read_window(part.stays, curves_.window, deviations * part.standard_k).missing_s;
}

Certainty CoatOffsets::certainty() const {
    const std::vector<Scenario> ways = scenarios();
    Certainty certainty = certainty_of(probabilities_of(ways));
    if (!certainty.too_close) return certainty;
    if (const auto factor = sharper_factor(ways, certainty.best)) certainty.sharper_k = *factor * largest_standard_k();
    const double missing = missing_s(-guard_band(1.0));
    const bool time_helps = certainty.best != Word::over && certainty.probabilities.over < 1.0 - kSure;
    if (time_helps && missing > 0.0 && std::isfinite(missing)) certainty.more_time_s = missing;
    certainty.more_time_at_k = curves_.window.coolest_k() + guard_band(largest_standard_k());
    return certainty;
}

}  // namespace bakewright::cure
