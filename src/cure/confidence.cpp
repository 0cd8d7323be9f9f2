#include "bakewright/cure/confidence.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <cmath>

#include "bakewright/base/error.hpp"

namespace bakewright::cure {
namespace {

double phi(double z) { return boost::math::cdf(boost::math::normal_distribution<double>(), z); }

/// "97 %", and never "100 %": nothing is that sure.
std::string percent_text(double probability) {
    return probability > 0.995 ? "over 99 %" : fmt::format("{:.0f} %", 100.0 * probability);
}

}  // namespace

double conformance_probability(double estimate, double standard_uncertainty, std::optional<double> lower,
                               std::optional<double> upper) {
    ensure(standard_uncertainty > 0.0, "a standard uncertainty is above 0");
    const double below_upper = upper ? phi((*upper - estimate) / standard_uncertainty) : 1.0;
    const double below_lower = lower ? phi((*lower - estimate) / standard_uncertainty) : 0.0;
    return std::max(below_upper - below_lower, 0.0);
}

double guard_band(double standard_uncertainty, double probability) {
    ensure(standard_uncertainty >= 0.0 && probability > 0.0 && probability < 1.0,
           "a guard band is of an uncertainty and a probability");
    return standard_uncertainty * boost::math::quantile(boost::math::normal_distribution<double>(), probability);
}

WordProbabilities ensemble_probabilities(std::span<const EnsembleMember> members) {
    double weight = 0.0, square = 0.0;
    for (const EnsembleMember& member : members) {
        ensure(member.weight > 0.0 && std::isfinite(member.weight), "a member of an ensemble has a weight");
        weight += member.weight;
        square += member.weight * member.weight;
    }
    // Members of unequal weight count as fewer equal ones: Kish's effective size.
    const double size = members.empty() ? 0.0 : weight * weight / square;
    WordProbabilities found{1.0, 1.0, 1.0};
    for (const EnsembleMember& member : members) {
        const double share = member.weight / weight * size;
        (member.too_much ? found.over : member.cured ? found.good : found.under) += share;
    }
    return {found.under / (size + 3.0), found.good / (size + 3.0), found.over / (size + 3.0)};
}

Certainty certainty_of(const WordProbabilities& probabilities) {
    Certainty certainty;
    certainty.probabilities = probabilities;
    certainty.probability = std::max({probabilities.under, probabilities.good, probabilities.over});
    // Of two alike the worse one: nobody is told GOOD on a coin's toss.
    if (probabilities.over == certainty.probability)
        certainty.best = Word::over;
    else
        certainty.best = probabilities.under == certainty.probability ? Word::under : Word::good;
    certainty.too_close = certainty.probability < kSure;
    return certainty;
}

std::string certainty_text(const ZoneVerdict& verdict, const Units& units) {
    if (!verdict.certainty) return {};
    const Certainty& certainty = *verdict.certainty;
    const std::string guess = fmt::format("{}, {} sure", word_text(certainty.best), percent_text(certainty.probability));
    if (!certainty.too_close) return guess;
    std::string text = "too close to call: best guess " + guess;
    std::string remedies;
    if (certainty.more_time_s)
        remedies = fmt::format("{} more at or above {} by this reading", format_minutes(*certainty.more_time_s),
                               format_temperature(certainty.more_time_at_k, units));
    if (certainty.sharper_k)
        remedies += fmt::format("{}a probe of standard uncertainty {}", remedies.empty() ? "" : ", or ",
                                format_temperature_difference(*certainty.sharper_k, units));
    if (remedies.empty()) remedies = "the maker's word on this coating";
    if (verdict.gap_may_hide_cure || verdict.gap_may_hide_heat) remedies = "readings without the gap, or " + remedies;
    return text + "; what would settle it: " + remedies;
}

}  // namespace bakewright::cure
