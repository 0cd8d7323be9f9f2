#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/coating_curves.hpp"
#include "bakewright/cure/confidence.hpp"
#include "bakewright/cure/dose.hpp"
#include "bakewright/cure/readings.hpp"
#include "occupancy.hpp"

namespace bakewright::cure {
namespace {

constexpr double kInfinity = std::numeric_limits<double>::infinity();
/// Offsets beyond this many standard uncertainties do not happen.
constexpr double kFarthest = 5.0;
/// Halvings of that range: leaves 10 u / 2^12, 5e-4 of probability at most.
constexpr int kHalvings = 11;
constexpr std::array<double, 3> kEnergyWeights = {1.0 / 6.0, 4.0 / 6.0, 1.0 / 6.0};

/// The least offset at which something is so, where warmer makes it more so; plus or minus infinity where it never or always is.
template <typename Holds>
double critical_offset_k(double standard_k, Holds holds) {
    double low_k = -kFarthest * standard_k, high_k = kFarthest * standard_k;
    if (holds(low_k)) return -kInfinity;
    if (!holds(high_k)) return kInfinity;
    for (int i = 0; i < kHalvings; ++i) {
        const double middle_k = 0.5 * (low_k + high_k);
        (holds(middle_k) ? high_k : low_k) = middle_k;
    }
    return 0.5 * (low_k + high_k);
}

/// One way the coating may be, with its weight: from which offset on it is cured, from which it has had too much.
struct Scenario {
    double weight = 0.0;
    double cured_from_k = kInfinity;
    double too_much_from_k = kInfinity;

    [[nodiscard]] Word word_at(double offset_k) const {
        if (offset_k >= too_much_from_k) return Word::over;
        return offset_k >= cured_from_k ? Word::good : Word::under;
    }
    /// Distance from the reading as it is to where its word changes.
    [[nodiscard]] double margin_k() const { return std::min(std::abs(cured_from_k), std::abs(too_much_from_k)); }
};

class ZoneOffsets {
public:
    ZoneOffsets(const Trace& schedule, double peak_k, const CoatingCurves& curves, double standard_k)
        : curves_(curves),
          standard_k_(standard_k),
          schedule_(schedule),
          occupancy_(schedule_, curves.coating.floor_k - kFarthest * standard_k),
          peak_k_(peak_k) {}

    [[nodiscard]] std::vector<Scenario> scenarios() const {
        const double row_met_k = row_met_from_k();
        const double too_hot_k = curves_.coating.absolute_maximum_k
                                     ? *curves_.coating.absolute_maximum_k + kTemperatureRoundingK - peak_k_
                                     : kInfinity;
        const bool told = curves_.coating.activation_energy || curves_.coating.schedule.size() >= 2;
        std::vector<Scenario> found;
        for (std::size_t i = 0; i < kEnergyWeights.size(); ++i) {
            const double too_much_k = curves_.maximum ? std::min(too_hot_k, dose_from_k((*curves_.maximum)[i])) : too_hot_k;
            const double by_dose_k = std::min(row_met_k, dose_from_k(curves_.minimum[i]));
            found.push_back({told ? kEnergyWeights[i] : 0.5 * kEnergyWeights[i], by_dose_k, too_much_k});
            if (!told) found.push_back({0.5 * kEnergyWeights[i], row_met_k, too_much_k});
        }
        return found;
    }

    /// What is missing if the trace is colder by the guard band than it reads, as time at the reference temperature.
    [[nodiscard]] double missing_s(double guard_k) const {
        const ScheduleRow& reference = reference_row(curves_.coating);
        const bool told = curves_.coating.activation_energy || curves_.coating.schedule.size() >= 2;
        const double by_row_s = reference.minimum_s - stay_at_or_above(schedule_, reference.temperature_k + guard_k).longest_s;
        if (!told) return std::max(by_row_s, 0.0);
        double least_dose = kInfinity;
        for (const RequiredTime& curve : curves_.minimum) least_dose = std::min(least_dose, occupancy_.dose(curve, -guard_k));
        return std::max(std::min(by_row_s, (1.0 - least_dose) * reference.minimum_s), 0.0);
    }

private:
    [[nodiscard]] double row_met_from_k() const {
        double least_k = kInfinity;
        for (const ScheduleRow& row : curves_.coating.schedule)
            least_k =
                std::min(least_k, critical_offset_k(standard_k_, [&](double offset_k) {
                             return stay_at_or_above(schedule_, row.temperature_k - offset_k).longest_s >= row.minimum_s - 1e-6;
                         }));
        return least_k;
    }
    [[nodiscard]] double dose_from_k(const RequiredTime& curve) const {
        return critical_offset_k(standard_k_,
                                 [&](double offset_k) { return occupancy_.dose(curve, offset_k) >= 1.0 - kDoseRounding; });
    }

    const CoatingCurves& curves_;
    double standard_k_;
    JoinedTrace schedule_;
    Occupancy occupancy_;
    double peak_k_;
};

WordProbabilities probabilities_of(const std::vector<Scenario>& scenarios, double standard_k) {
    WordProbabilities sum;
    for (const Scenario& scenario : scenarios) {
        const double cured_k = std::min(scenario.cured_from_k, scenario.too_much_from_k);
        const auto below = [&](double offset_k) {
            if (std::isinf(offset_k)) return offset_k > 0.0 ? 1.0 : 0.0;
            return conformance_probability(0.0, standard_k, std::nullopt, offset_k);
        };
        const double under = below(cured_k), over = 1.0 - below(scenario.too_much_from_k);
        sum.under += scenario.weight * under;
        sum.over += scenario.weight * over;
        sum.good += scenario.weight * std::max(1.0 - under - over, 0.0);
    }
    return sum;
}

/// A standard uncertainty that would make the best guess sure; nothing where the ways the coating may be disagree by themselves.
std::optional<double> sharper_k(const std::vector<Scenario>& scenarios, Word best, double standard_k) {
    double margin_k = kInfinity;
    for (const Scenario& scenario : scenarios) {
        if (scenario.word_at(0.0) != best) return std::nullopt;
        margin_k = std::min(margin_k, scenario.margin_k());
    }
    const double needed_k = margin_k / guard_band(1.0);
    if (!(needed_k < standard_k) || needed_k <= 0.0) return std::nullopt;
    return needed_k;
}

Certainty certainty_from(const ZoneOffsets& zone, const Coating& coating, double standard_k) {
    const std::vector<Scenario> scenarios = zone.scenarios();
    Certainty certainty = certainty_of(probabilities_of(scenarios, standard_k));
    if (!certainty.too_close) return certainty;
    certainty.sharper_k = sharper_k(scenarios, certainty.best, standard_k);
    const double guard_k = guard_band(standard_k);
    const double missing_s = zone.missing_s(guard_k);
    const bool time_helps = certainty.best != Word::over && certainty.probabilities.over < 1.0 - kSure;
    if (time_helps && missing_s > 0.0) certainty.more_time_s = missing_s;
    certainty.more_time_at_k = reference_row(coating).temperature_k + guard_k;
    return certainty;
}

}  // namespace

Certainty zone_certainty(const Trace& schedule, const Trace& face, const Coating& coating,
                         const TemperatureUncertainty& uncertainty) {
    ensure(uncertainty.standard_k > 0.0, "a standard uncertainty is above 0");
    const CoatingCurves curves(coating);
    const double peak_k = peak(JoinedTrace(face)).value_or(PeakReading{}).temperature_k;
    return certainty_from(ZoneOffsets(schedule, peak_k, curves, uncertainty.standard_k), coating, uncertainty.standard_k);
}

void add_certainty(BakeVerdict& verdict, const TraceSet& traces, const Coating& coating,
                   const TemperatureUncertainty& uncertainty) {
    ensure(uncertainty.standard_k > 0.0, "a standard uncertainty is above 0");
    const CoatingCurves curves(coating);
    verdict.uncertainty_origin = uncertainty.origin;
    verdict.standard_uncertainty_k = uncertainty.standard_k;
    const Trace* air = traces.first(TraceRole::booth_air);
    for (ZoneVerdict& zone : verdict.zones) {
        if (zone.word == Word::not_judged) continue;
        const Trace& schedule = coating.basis == ScheduleBasis::booth_air ? *air : *traces.find(zone.zone);
        const ZoneOffsets offsets(schedule, zone.peak_temperature_k, curves, uncertainty.standard_k);
        zone.certainty = certainty_from(offsets, coating, uncertainty.standard_k);
        if (zone.gap_may_hide_cure || zone.gap_may_hide_heat) zone.certainty->too_close = true;
    }
}

}  // namespace bakewright::cure
