#include "bakewright/cure/reason.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

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
    return fmt::format("{} in one stay at or above {} against {} asked", format_minutes(row->longest_stay_s),
                       round_temperature(row->row.temperature_k, units), format_minutes(row->row.minimum_s));
}

std::string worth_text(const ZoneVerdict& verdict, const Units& units) {
    return fmt::format("worth {} at {} by dose", band_minutes_text(verdict.equivalent_minutes_s),
                       round_temperature(verdict.reference_temperature_k, units));
}

/// What is asked at the reference row, where the sentence has not told it yet.
std::string asked_text(const ZoneVerdict& verdict) {
    const RowReading* row = telling_row(verdict);
    if (row != nullptr && row->row.temperature_k == verdict.reference_temperature_k) return "";
    return fmt::format(" against {} asked", format_minutes(verdict.reference_minimum_s));
}

std::string both_readings(const ZoneVerdict& verdict, const Units& units) {
    return stay_text(verdict, units) + ", " + worth_text(verdict, units) + asked_text(verdict);
}

std::string still_needed_text(const ZoneVerdict& verdict, const Units& units) {
    const double asked_s = verdict.reference_minimum_s;
    const Band& had = verdict.equivalent_minutes_s;
    return fmt::format("still needs {} at {}",
                       band_minutes_text({asked_s - had.at_low, asked_s - had.at_value, asked_s - had.at_high}),
                       round_temperature(verdict.reference_temperature_k, units));
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

std::string good_text(const ZoneVerdict& verdict, const Units& units) {
    if (met(verdict)) return stay_text(verdict, units);
    return both_readings(verdict, units) +
           ": short in the sheet's own terms, cured by dose at every activation energy of the band";
}

std::string check_text(const ZoneVerdict& verdict, const Units& units) {
    if (verdict.gap_may_hide_cure)
        return fmt::format("{}; {}, which may have been enough", both_readings(verdict, units), lost_text(verdict.gaps));
    if (verdict.gap_may_hide_heat)
        return fmt::format("{}; a gap in the readings may hide too much heat", both_readings(verdict, units));
    if (verdict.over_bake_dose.most() > 1.0) return stay_text(verdict, units) + ", but " + times_text(verdict.over_bake_dose);
    const bool whole_band = verdict.dose.least() >= 1.0;
    return both_readings(verdict, units) + (whole_band
                                                ? ": the sheet's own terms say under; the chemistry says cured, but by a default "
                                                  "activation energy, not by the sheet's"
                                                : ": the sheet's own terms say under, the chemistry says maybe");
}

std::string scope_text(const ExposureLimit& limit) { return limit.scope == ExposureScope::lifetime ? " over its lifetime" : ""; }

/// The limit a sentence talks about: the first that is passed and makes it OVER, else that is near, else one that a layer inside
/// may have passed.
const LimitReading* telling_limit(const ItemVerdict& verdict) {
    const auto first = [&](LimitKind kind, bool LimitReading::*flag) -> const LimitReading* {
        for (const LimitReading& reading : verdict.limits)
            if (reading.limit.kind == kind && reading.*flag) return &reading;
        return nullptr;
    };
    if (const LimitReading* passed = first(LimitKind::never, &LimitReading::passed)) return passed;
    if (const LimitReading* near = first(LimitKind::never, &LimitReading::near)) return near;
    return first(LimitKind::never_inside, &LimitReading::passed);
}

/// ", over the 50 degC that it is warned of"; empty where no warning was passed.
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
        return fmt::format("peak of {} after {}, where {} may never be reached",
                           format_temperature(verdict.peak_temperature_k, units), format_duration(verdict.peak_at_s), at);
    return fmt::format("{} at or above {} against {} allowed{}", format_minutes(reading.exposed_s), at,
                       format_minutes(reading.limit.allowed_s), scope_text(reading.limit));
}

std::string near_text(const ItemVerdict& verdict, const LimitReading& reading, const Units& units) {
    const std::string at = round_temperature(reading.limit.temperature_k, units);
    const std::string margin = format_temperature_difference(verdict.margin_k, units);
    if (reading.limit.allowed_s == 0.0)
        return fmt::format("peak of {}, within {} of {}, which may never be reached",
                           format_temperature(verdict.peak_temperature_k, units), margin, at);
    return fmt::format("{} at or above {} against {} allowed{}, but {} if it was {} hotter", format_minutes(reading.exposed_s),
                       at, format_minutes(reading.limit.allowed_s), scope_text(reading.limit),
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
            return both_readings(verdict, units) + ": " + still_needed_text(verdict, units);
        case Word::good:
            return good_text(verdict, units);
        case Word::over:
            return over_text(verdict, units) + (verdict.dose.least() < 1.0 && !met(verdict) ? ", and the cure is not sure" : "");
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
    if (limit != nullptr) return limit->passed ? passed_text(verdict, *limit, units) : near_text(verdict, *limit, units);
    const std::string peak = "peak of " + format_temperature(verdict.peak_temperature_k, units) + warned_text(verdict, units);
    if (!verdict.no_limit_known_of.empty())
        return fmt::format("{}; no upper limit known for {}: ask its maker, and write it into the profile", peak,
                           fmt::join(verdict.no_limit_known_of, ", "));
    if (verdict.gap_may_hide_heat) return peak + " as far as seen; " + lost_text(verdict.gaps) + ", which may hide too much heat";
    return peak + ", within every limit";
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
