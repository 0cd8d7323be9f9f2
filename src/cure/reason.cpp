// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/reason.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "bakewright/cure/rule.hpp"

namespace bakewright::cure {
namespace {

/// A temperature somebody chose, such as a row's: without decimals where it has none.
std::string round_temperature(double temperature_k, const Units& units) {
    const double shown = temperature_in(temperature_k, units);
    return format_temperature(temperature_k, units, std::abs(shown - std::round(shown)) < 0.05 ? 0 : 1);
}

std::string why_not_text(NotJudged why) {
    switch (why) {
        case NotJudged::no_trace:
            return "nothing was recorded or predicted under this name";
        case NotJudged::no_booth_air:
            return "the sheet means booth air, and there is no booth-air trace";
        case NotJudged::too_little:
            break;
    }
    return "fewer than two usable samples";
}

/// The row a sentence talks about: one that is met, else the one that came nearest.
const RowReading* telling_row(const ZoneVerdict& verdict) {
    const auto shortfall = [&](const RowReading& row) {
        const bool reference = row.row.temperature_k == verdict.reference_temperature_k;
        return std::pair(row.missing_s / row.row.minimum_s, !reference);
    };
    const auto nearest = std::min_element(verdict.rows.begin(), verdict.rows.end(),
                                          [&](const RowReading& a, const RowReading& b) { return shortfall(a) < shortfall(b); });
    return nearest == verdict.rows.end() ? nullptr : &*nearest;
}

std::string stay_text(const ZoneVerdict& verdict, const Units& units) {
    const RowReading* row = telling_row(verdict);
    if (row == nullptr) return "no schedule";
    return fmt::format("{} without a break at {} or more; the sheet needs {}", format_minutes(row->longest_stay_s),
                       round_temperature(row->row.temperature_k, units), format_minutes(row->row.minimum_s));
}

/// How far it is from the window, and what would have bridged it.
std::string shortfall_text(const ZoneVerdict& verdict, const Units& units) {
    const std::string stay = stay_text(verdict, units);
    if (std::isfinite(verdict.window.missing_s) && verdict.window.missing_s > 0.0)
        return fmt::format("{}: hold {} longer at this heat, in one go", stay, format_minutes(verdict.window.missing_s));
    const RowReading* row = telling_row(verdict);
    if (row == nullptr || verdict.peak_temperature_k >= row->row.temperature_k) return stay + ": give it a full new hold";
    return fmt::format("{}; it peaked at {}: it needs {} more heat, or stirred air", stay,
                       format_temperature(verdict.peak_temperature_k, units),
                       format_temperature_difference(row->row.temperature_k - verdict.peak_temperature_k, units));
}

std::string times_text(const Band& over_bake) {
    const std::string least = fmt::format("{:.2f}", over_bake.least());
    const std::string most = fmt::format("{:.2f}", over_bake.most());
    return fmt::format("{} times the longest bake the sheet allows", least == most ? least : least + " to " + most);
}

bool met(const ZoneVerdict& verdict) {
    return std::any_of(verdict.rows.begin(), verdict.rows.end(), [](const RowReading& row) { return row.missing_s == 0.0; });
}

std::string lost_text(const Gaps& gaps) {
    return fmt::format("the probe gave nothing for {}", format_duration(gaps.open_s + gaps.lost_before_s + gaps.lost_after_s));
}

std::string over_text(const ZoneVerdict& verdict, const Units& units) {
    if (verdict.absolute_maximum_k && verdict.peak_temperature_k > *verdict.absolute_maximum_k)
        return fmt::format("peak of {} after {} passes the sheet's absolute maximum of {}",
                           format_temperature(verdict.peak_temperature_k, units), format_duration(verdict.peak_at_s),
                           round_temperature(*verdict.absolute_maximum_k, units));
    return times_text(verdict.over_bake_dose);
}

std::string dips_text(const ZoneVerdict& verdict) {
    if (!(verdict.window.stay.dips_s > 0.0)) return "";
    return fmt::format(", {} of dips not counted", format_duration(verdict.window.stay.dips_s));
}

std::string good_text(const ZoneVerdict& verdict, const Units& units) {
    const std::string on_word = verdict.is_on_makers_word && !met(verdict) ? ", on the maker's word" : "";
    if (met(verdict)) return stay_text(verdict, units) + dips_text(verdict);
    return fmt::format("{}{}: enough between the sheet's rows, counting minutes at each temperature{}", stay_text(verdict, units),
                       dips_text(verdict), on_word);
}

std::string check_text(const ZoneVerdict& verdict, const Units& units) {
    if (verdict.gap_may_hide_cure)
        return fmt::format("{}; {}, which may have been enough: look at the film, or bake again", stay_text(verdict, units),
                           lost_text(verdict.gaps));
    if (verdict.gap_may_hide_heat)
        return fmt::format("{}; a gap in the readings may hide too much heat: look at the film", stay_text(verdict, units));
    if (verdict.over_bake_dose.most() > 1.0 && verdict.window.is_cured())
        return fmt::format("{}, but {}: ask the coating's maker", stay_text(verdict, units), times_text(verdict.over_bake_dose));
    if (verdict.is_beyond_sheet)
        return fmt::format("peak of {}, hotter than the sheet speaks of, and it prints no maximum: ask the coating's maker",
                           format_temperature(verdict.peak_temperature_k, units));
    if (verdict.certainty && verdict.certainty->too_close) return stay_text(verdict, units) + ": too close to call";
    if (verdict.window.is_cured()) return stay_text(verdict, units);
    return shortfall_text(verdict, units) +
           "; short of the sheet, though typical chemistry says it may be cured: ask the coating's maker";
}

std::string scope_text(const ExposureLimit& limit) { return limit.scope == ExposureScope::lifetime ? " over its lifetime" : ""; }

/// The limit a sentence talks about: the first that is passed and makes it OVER, else that is near where that counts, else one
/// that a layer inside may have passed.
const LimitReading* telling_limit(const ItemVerdict& verdict) {
    const auto first = [&](LimitKind kind, bool LimitReading::*flag) -> const LimitReading* {
        for (const LimitReading& reading : verdict.limits)
            if (reading.limit.kind == kind && reading.*flag) return &reading;
        return nullptr;
    };
    if (const LimitReading* passed = first(LimitKind::never, &LimitReading::passed)) return passed;
    if (const LimitReading* near = verdict.certainty ? nullptr : first(LimitKind::never, &LimitReading::near)) return near;
    return first(LimitKind::never_inside, &LimitReading::passed);
}

/// ", 12 min at or above 50 degC: a warning, no limit"; empty where no warning was passed.
std::string warned_text(const ItemVerdict& verdict, const Units& units) {
    std::string text;
    for (const LimitReading& reading : verdict.limits)
        if (reading.limit.kind == LimitKind::warn && reading.passed)
            text = fmt::format(", {} at or above {}: a warning, no limit", format_duration(reading.exposed_s),
                               round_temperature(reading.limit.temperature_k, units));
    return text;
}

std::string passed_text(const ItemVerdict& verdict, const LimitReading& reading, const Units& units) {
    const std::string at = round_temperature(reading.limit.temperature_k, units);
    if (reading.limit.allowed_s == 0.0)
        return fmt::format("peak of {} after {}, {} must not be reached: take it out or shield it",
                           format_temperature(verdict.peak_temperature_k, units), format_duration(verdict.peak_at_s), at);
    return fmt::format("{} at {} or more, {} allowed{}: take it out or shield it", format_minutes(reading.exposed_s), at,
                       format_minutes(reading.limit.allowed_s), scope_text(reading.limit));
}

std::string near_text(const ItemVerdict& verdict, const LimitReading& reading, const Units& units) {
    const std::string at = round_temperature(reading.limit.temperature_k, units);
    const std::string margin = format_temperature_difference(verdict.margin_k, units);
    if (reading.limit.allowed_s == 0.0)
        return fmt::format("peak of {}, within {} of {}, which must not be reached: probe it, shield it or take it out",
                           format_temperature(verdict.peak_temperature_k, units), margin, at);
    return fmt::format("{} at {} or more, {} allowed{}, but {} if it was {} hotter: probe it, shield it or take it out",
                       format_minutes(reading.exposed_s), at, format_minutes(reading.limit.allowed_s), scope_text(reading.limit),
                       format_minutes(reading.exposed_at_margin_s), margin);
}

}  // namespace

std::string conversion_text(const ZoneVerdict& verdict, const Units& units) {
    if (!verdict.conversion) return {};
    const ConversionReading& reading = *verdict.conversion;
    std::string text = fmt::format("{:.2f} reacted", reading.conversion);
    if (verdict.required_conversion) text += fmt::format(", {:.2f} asked", *verdict.required_conversion);
    if (reading.reached_s) text += fmt::format(" and reached after {}", format_duration(*reading.reached_s));
    if (reading.glass_k) text += fmt::format("; its glass transition rose to {}", format_temperature(*reading.glass_k, units));
    if (reading.vitrified_at_s)
        text += fmt::format(" and passed the film's temperature after {}, which slows what follows",
                            format_duration(*reading.vitrified_at_s));
    return text;
}

std::string after_bake_text(const Coating& coating) {
    std::string told, missing;
    const auto add = [&](const char* what, const char* key, const std::optional<double>& after_s) {
        if (!after_s) {
            missing += fmt::format("{}{}", missing.empty() ? "" : ", ", what);
            return;
        }
        const auto source = coating.sources.find(key);
        told += fmt::format("{}{} {} after the bake, cooled{}", told.empty() ? "" : "; ", what, format_duration(*after_s),
                            source == coating.sources.end() ? "" : " (" + source->second + ")");
    };
    add("sandable", "sandable_after", coating.sandable_after_s);
    add("tape-free", "tape_free_after", coating.tape_free_after_s);
    add("to be polished", "polish_after", coating.polish_after_s);
    if (missing.empty()) return "where it is cured: " + told;
    return fmt::format("where it is cured: {}{}{}: time not in the profile, see the sheet", told, told.empty() ? "" : "; ",
                       missing);
}

std::string band_minutes_text(const Band& band_s) {
    const std::string least = format_minutes(band_s.least());
    const std::string most = format_minutes(band_s.most());
    if (least == most) return least;
    return least.substr(0, least.find(' ')) + " to " + most;
}

std::string reason_text(const ZoneVerdict& verdict, const Units& units) {
    switch (verdict.word) {
        case Word::under:
            return shortfall_text(verdict, units);
        case Word::good:
            return good_text(verdict, units);
        case Word::over:
            return over_text(verdict, units) + (verdict.window.is_cured() ? "" : ", and it is not cured") +
                   ": ask the coating's maker";
        case Word::check:
            return check_text(verdict, units);
        case Word::not_judged:
            break;
    }
    return why_not_text(verdict.why_not.value_or(NotJudged::too_little));
}

std::string reason_text(const ItemVerdict& verdict, const Units& units) {
    if (verdict.word == Word::not_judged) return why_not_text(verdict.why_not.value_or(NotJudged::too_little));
    const LimitReading* limit = telling_limit(verdict);
    if (limit != nullptr && limit->limit.kind == LimitKind::never_inside)
        return passed_text(verdict, *limit, units) +
               ": a layer inside, cooler than the face it is judged on; probe it, or enter it as an item";
    const bool is_close = verdict.certainty && verdict.certainty->too_close;
    if (limit != nullptr && !limit->passed) return near_text(verdict, *limit, units);
    if (limit != nullptr) return passed_text(verdict, *limit, units) + (is_close ? "; too close to call" : "");
    const std::string peak = "peak of " + format_temperature(verdict.peak_temperature_k, units) + warned_text(verdict, units);
    if (!verdict.no_limit_known_of.empty())
        return fmt::format("{}; no upper limit known for {}: ask its maker, and write it into the profile", peak,
                           fmt::join(verdict.no_limit_known_of, ", "));
    if (verdict.gap_may_hide_heat) return peak + " as far as seen; " + lost_text(verdict.gaps) + ", which may hide too much heat";
    return peak + ", within every limit" + (is_close ? "; too close to call: probe it, shield it or take it out" : "");
}

std::string reason_text(const HeatWarning& warning, const Units& units) {
    switch (warning.kind) {
        case HeatWarningKind::heated_too_soon:
            return fmt::format("the heat came on {} into the bake, the sheet asks for a flash-off of {} at least",
                               format_minutes(warning.found), format_minutes(warning.accepted));
        case HeatWarningKind::heated_too_late:
            return fmt::format(
                "the heat came on {} into the bake, the sheet allows a flash-off of {} at most: the skin may have closed",
                format_minutes(warning.found), format_minutes(warning.accepted));
        case HeatWarningKind::heated_too_fast:
            break;
    }
    return fmt::format("{} rose by {} in the minute from {}, the sheet allows {} until the solvent has left", warning.where,
                       format_heating_rate(warning.found, units), format_minutes(warning.at_s),
                       format_heating_rate(warning.accepted, units));
}

}  // namespace bakewright::cure
