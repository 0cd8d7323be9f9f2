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

bool CoatOffsets::dose_is_enough() const { return curves_.coating.activation_energy || curves_.coating.schedule.size() >= 2; }

double CoatOffsets::dose(const RequiredTime& curve, double deviations) const {
    double sum = 0.0;
    for (const Part& part : parts_) sum += part.occupancy.dose(curve, deviations * part.standard_k);
    return sum;
}

double CoatOffsets::row_met_from() const {
    double least = kInfinity;
    for (const ScheduleRow& row : curves_.coating.schedule)
        for (const Part& part : parts_)
            least = std::min(least, critical_deviations([&](double deviations) {
                                 const double level_k = row.temperature_k - deviations * part.standard_k;
                                 return stay_at_or_above(part.schedule, level_k).longest_s >= row.minimum_s - 1e-6;
                             }));
    return least;
}

double CoatOffsets::dose_from(const RequiredTime& curve) const {
    return critical_deviations([&](double deviations) { return dose(curve, deviations) >= 1.0 - kDoseRounding; });
}

double CoatOffsets::too_hot_from() const {
    double least = kInfinity;
    if (curves_.coating.absolute_maximum_k)
        for (const Part& part : parts_)
            least =
                std::min(least, (*curves_.coating.absolute_maximum_k + kTemperatureRoundingK - part.peak_k) / part.standard_k);
    return least;
}

std::vector<Scenario> CoatOffsets::scenarios() const {
    const double row_met = row_met_from(), too_hot = too_hot_from();
    std::vector<Scenario> found;
    for (std::size_t i = 0; i < kEnergyWeights.size(); ++i) {
        const double too_much = curves_.maximum ? std::min(too_hot, dose_from((*curves_.maximum)[i])) : too_hot;
        const double by_dose = std::min(row_met, dose_from(curves_.minimum[i]));
        found.push_back({dose_is_enough() ? kEnergyWeights[i] : 0.5 * kEnergyWeights[i], by_dose, too_much});
        if (!dose_is_enough()) found.push_back({0.5 * kEnergyWeights[i], row_met, too_much});
    }
    return found;
}

double CoatOffsets::missing_s(double deviations) const {
    const ScheduleRow& reference = reference_row(curves_.coating);
    double by_row_s = reference.minimum_s;
    if (parts_.size() == 1) {
        const Part& part = parts_.front();
        by_row_s -= stay_at_or_above(part.schedule, reference.temperature_k - deviations * part.standard_k).longest_s;
    }
    if (!dose_is_enough()) return std::max(by_row_s, 0.0);
    double least_dose = kInfinity;
    for (const RequiredTime& curve : curves_.minimum) least_dose = std::min(least_dose, dose(curve, deviations));
    return std::max(std::min(by_row_s, (1.0 - least_dose) * reference.minimum_s), 0.0);
}

Certainty CoatOffsets::certainty() const {
    const std::vector<Scenario> ways = scenarios();
    Certainty certainty = certainty_of(probabilities_of(ways));
    if (!certainty.too_close) return certainty;
    if (const auto factor = sharper_factor(ways, certainty.best)) certainty.sharper_k = *factor * largest_standard_k();
    const double missing = missing_s(-guard_band(1.0));
    const bool time_helps = certainty.best != Word::over && certainty.probabilities.over < 1.0 - kSure;
    if (time_helps && missing > 0.0) certainty.more_time_s = missing;
    certainty.more_time_at_k = reference_row(curves_.coating).temperature_k + guard_band(largest_standard_k());
    return certainty;
}

}  // namespace bakewright::cure
