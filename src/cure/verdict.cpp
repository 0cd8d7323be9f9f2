// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/verdict.hpp"

#include <algorithm>
#include <boost/math/distributions/normal.hpp>

#include "bakewright/base/error.hpp"

namespace bakewright::cure {
namespace {

double phi(double z) { return boost::math::cdf(boost::math::normal_distribution<double>(), z); }

}  // namespace

std::string_view word_text(Word word) noexcept {
    switch (word) {
        case Word::under:
            return "UNDER";
        case Word::good:
            return "GOOD";
        case Word::over:
            return "OVER";
        case Word::check:
            return "CHECK";
        case Word::not_judged:
            break;
    }
    return "NOT JUDGED";
}

std::string_view known_from_text(KnownFrom from) noexcept {
    switch (from) {
        case KnownFrom::measured:
            return "measured";
        case KnownFrom::measured_and_modelled:
            return "measured and modelled";
        case KnownFrom::estimated:
            break;
    }
    return "estimated";
}

std::string_view heat_warning_text(HeatWarningKind kind) noexcept {
    switch (kind) {
        case HeatWarningKind::heated_too_soon:
            return "heated too soon";
        case HeatWarningKind::heated_too_late:
            return "heated too late";
        case HeatWarningKind::heated_too_fast:
            break;
    }
    return "heated too fast";
}

double Band::least() const noexcept { return std::min({at_low, at_value, at_high}); }
double Band::most() const noexcept { return std::max({at_low, at_value, at_high}); }

Word BakeVerdict::worst() const noexcept {
    if (zones.empty() && items.empty()) return Word::not_judged;
    Word worst_word = Word::good;
    for (const ZoneVerdict& zone : zones)
        if (word_rank(zone.word) < word_rank(worst_word)) worst_word = zone.word;
    for (const ItemVerdict& item : items)
        if (word_rank(item.word) < word_rank(worst_word)) worst_word = item.word;
    const bool flash_off_is_kept =
        std::none_of(warnings.begin(), warnings.end(), [](const HeatWarning& one) { return is_about_flash_off(one.kind); });
    return flash_off_is_kept || word_rank(worst_word) < word_rank(Word::check) ? worst_word : Word::check;
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

}  // namespace bakewright::cure
