// SPDX-License-Identifier: Apache-2.0
#include "offset_scenarios.hpp"

#include <algorithm>
#include <cmath>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/dose.hpp"
#include "bakewright/cure/readings.hpp"
#include "bakewright/cure/rule.hpp"

namespace bakewright::cure {

Occupancy::Occupancy(const JoinedTrace& trace, double coldest_k) : coldest_k_(coldest_k) {
    double hottest_k = coldest_k;
    for (const double temperature_k : trace.temperature_k()) hottest_k = std::max(hottest_k, temperature_k);
    time_s_.assign(static_cast<std::size_t>((hottest_k - coldest_k) / kStepK) + 1, 0.0);
    time_k_s_ = time_s_;
    for (const JoinedTrace::Run& run : trace.runs())
        for_each_segment(trace, run, [&](const TraceLine& segment) { add(segment); });
}

void Occupancy::add_at(double temperature_k, double time_s) {
    const double above_k = temperature_k - coldest_k_;
    const std::size_t step = std::min(static_cast<std::size_t>(above_k * (1.0 / kStepK)), time_s_.size() - 1);
    time_s_[step] += time_s;
    time_k_s_[step] += time_s * above_k;
}

/// A straight line spends its time evenly over the temperatures it passes.
void Occupancy::add(const TraceLine& segment) {
    const double low_k = std::min(segment.from_k, segment.until_k);
    const double high_k = std::max(segment.from_k, segment.until_k);
    if (high_k < coldest_k_) return;
    if (high_k - low_k < kShortLineK) {
        if (const double middle_k = 0.5 * (low_k + high_k); middle_k >= coldest_k_) add_at(middle_k, segment.duration_s());
        return;
    }
    const double per_k = segment.duration_s() / (high_k - low_k);
    for (double at_k = std::max(low_k, coldest_k_); at_k < high_k;) {
        const double edge_k = coldest_k_ + kStepK * (std::floor((at_k - coldest_k_) / kStepK + 1e-9) + 1.0);
        const double until_k = std::min(edge_k, high_k);
        add_at(0.5 * (at_k + until_k), per_k * (until_k - at_k));
        at_k = until_k;
    }
}

double Occupancy::dose(const RequiredTime& required, double offset_k) const {
    double dose = 0.0;
    for (std::size_t i = 0; i < time_s_.size(); ++i)
        if (time_s_[i] > 0.0) dose += time_s_[i] * required.rate_per_s(coldest_k_ + time_k_s_[i] / time_s_[i] + offset_k);
    return dose;
}

namespace {

constexpr double kInfinite = std::numeric_limits<double>::infinity();

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
    double margin = kInfinite;
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
    double least = kInfinite;
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
    double least = kInfinite;
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

void ItemOffsets::add(const Trace& trace, double standard_k) {
    ensure(standard_k > 0.0, "a standard uncertainty is above 0");
    parts_.emplace_back(trace, standard_k);
}

bool ItemOffsets::passed(const ExposureLimit& limit, double deviations) const {
    double exposed_s = 0.0;
    for (const Part& part : parts_) {
        const StayReading stay = stay_at_or_above(part.trace, limit.temperature_k - deviations * part.standard_k);
        if (passes(limit, 0.0, stay.first_up_s.has_value())) return true;
        exposed_s = limit.scope == ExposureScope::lifetime ? exposed_s + stay.total_s : std::max(exposed_s, stay.total_s);
    }
    return passes(limit, exposed_s, false);
}

Certainty ItemOffsets::certainty() const {
    Scenario scenario{1.0, -std::numeric_limits<double>::infinity()};
    for (const ExposureLimit& limit : limits_)
        if (makes_over(limit))
            scenario.too_much_from = std::min(scenario.too_much_from,
                                              critical_deviations([&](double deviations) { return passed(limit, deviations); }));
    Certainty certainty = certainty_of(probabilities_of({scenario}));
    if (!certainty.too_close || parts_.empty()) return certainty;
    const auto largest = std::max_element(parts_.begin(), parts_.end(),
                                          [](const Part& one, const Part& other) { return one.standard_k < other.standard_k; });
    if (const auto factor = sharper_factor({scenario}, certainty.best)) certainty.sharper_k = *factor * largest->standard_k;
    return certainty;
}

}  // namespace bakewright::cure
