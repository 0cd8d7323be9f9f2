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
        ensure(member.cured >= 0.0 && member.too_much >= 0.0 && member.cured + member.too_much <= 1.0 + 1e-9,
               "the chances of a member are none");
        weight += member.weight;
        square += member.weight * member.weight;
    }
    // Members of unequal weight count as fewer equal ones: Kish's effective size.
    const double size = members.empty() ? 0.0 : weight * weight / square;
    WordProbabilities found{1.0, 1.0, 1.0};
    for (const EnsembleMember& member : members) {
        const double share = member.weight / weight * size;
        found.over += share * member.too_much;
        found.good += share * member.cured;
        found.under += share * std::max(1.0 - member.cured - member.too_much, 0.0);
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

namespace {

std::string guess_text(const Certainty& certainty) {
    return fmt::format("{}, {} sure", word_text(certainty.best), percent_text(certainty.probability));
}

std::string time_text(const Certainty& certainty, const Units& units) {
    if (!(certainty.more_time_at_k > 0.0)) return fmt::format("{} more hold", format_minutes(*certainty.more_time_s));
    return fmt::format("{} more at or above {} by this reading", format_minutes(*certainty.more_time_s),
                       format_temperature(certainty.more_time_at_k, units));
}

/// What would settle a coat or an item, joined by "or".
class Remedies {
public:
    void add(const std::string& remedy) { text_ += (text_.empty() ? "" : ", or ") + remedy; }
    [[nodiscard]] std::string text(const Certainty& certainty) const {
        return fmt::format("too close to call: best guess {}; what would settle it: {}", guess_text(certainty), text_);
    }
    [[nodiscard]] bool empty() const noexcept { return text_.empty(); }

private:
    std::string text_;
};

void add_sharper(Remedies& remedies, const Certainty& certainty, const char* predicted, const Units& units) {
    if (certainty.is_predicted)
        remedies.add(predicted);
    else if (certainty.sharper_k)
        remedies.add("a probe of standard uncertainty " + format_temperature_difference(*certainty.sharper_k, units));
}

}  // namespace

std::string certainty_text(const ZoneVerdict& verdict, const Units& units) {
    if (!verdict.certainty) return {};
    const Certainty& certainty = *verdict.certainty;
    if (!certainty.too_close) return guess_text(certainty);
    Remedies remedies;
    if (verdict.gap_may_hide_cure || verdict.gap_may_hide_heat) remedies.add("readings without the gap");
    if (certainty.more_time_s) remedies.add(time_text(certainty, units));
    add_sharper(remedies, certainty, "a probe on this zone", units);
    if (remedies.empty()) remedies.add("the maker's word on this coating");
    return remedies.text(certainty);
}

std::string certainty_text(const ItemVerdict& verdict, const Units& units) {
    if (!verdict.certainty) return {};
    const Certainty& certainty = *verdict.certainty;
    if (!certainty.too_close) return guess_text(certainty);
    Remedies remedies;
    if (verdict.gap_may_hide_heat) remedies.add("readings without the gap");
    add_sharper(remedies, certainty, "a probe on it", units);
    remedies.add("taking it out or shielding it");
    return remedies.text(certainty);
}

}  // namespace bakewright::cure
