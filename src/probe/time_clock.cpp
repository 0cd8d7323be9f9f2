// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>

#include "time_column.hpp"

namespace bakewright::probe {
namespace {

struct ClockFacts {
    bool any_half_day = false;  ///< AM or PM somewhere
    bool any_zone = false;
    bool any_three_parts = false;
    bool any_fraction_of_two = false;  ///< mm:ss.f
    bool past_midnight = false;        ///< an hour above 23
    bool negative = false;
    bool starts_at_zero = false;
    bool any_days = false;  ///< d.hh:mm:ss
};

ClockFacts facts_of(std::span<const TimeText> cells) {
    ClockFacts facts;
    bool first = true;
    for (const TimeText& cell : cells) {
        if (!cell.readable) continue;
        facts.any_half_day |= cell.twelve_hour;
        facts.any_zone |= cell.zone_minutes.has_value();
        facts.any_three_parts |= cell.clock_parts == 3;
        facts.any_fraction_of_two |= cell.clock_parts == 2 && cell.has_fraction;
        facts.past_midnight |= cell.part[0] > 23;
        facts.negative |= cell.negative;
        facts.any_days |= cell.has_days;
        if (first) facts.starts_at_zero = cell.part[0] == 0 && (cell.clock_parts == 2 || cell.part[1] == 0);
        first = false;
    }
    return facts;
}

/// Two numbers between a colon are hours and minutes or minutes and seconds; only some files tell.
TimeForm form_of_two_parts(const ClockFacts& facts, const TimeHints& hints, ProblemList& problems) {
    if (hints.unit == UnitKind::minute_second || facts.any_fraction_of_two) return TimeForm::elapsed_ms;
    if (hints.unit == UnitKind::hms)
        return facts.past_midnight || facts.starts_at_zero ? TimeForm::elapsed_hms : TimeForm::clock_of_day;
    if (facts.any_half_day || facts.any_zone || !(facts.starts_at_zero || facts.past_midnight)) return TimeForm::clock_of_day;
    problems.fail(
        0, hints.heading,
        "times such as '0:10' may be hours and minutes or minutes and seconds; say which with the time form hh:mm:ss or mm:ss");
}

TimeForm form_of(const ClockFacts& facts, const TimeHints& hints, ProblemList& problems) {
    if (!facts.any_three_parts) return form_of_two_parts(facts, hints, problems);
    const std::vector<std::string> words = words_of(hints.heading);
    const bool said = std::find(words.begin(), words.end(), "elapsed") != words.end();
    if (facts.any_half_day || facts.any_zone) return TimeForm::clock_of_day;
    return said || facts.any_days || facts.past_midnight || facts.starts_at_zero || facts.negative ? TimeForm::elapsed_hms
                                                                                                   : TimeForm::clock_of_day;
}

double seconds_of(const TimeText& cell, TimeForm form) {
    const bool minutes_first = form == TimeForm::elapsed_ms && cell.clock_parts == 2;
    const double whole =
        minutes_first ? 60.0 * cell.part[0] + cell.part[1] : 3600.0 * cell.part[0] + 60.0 * cell.part[1] + cell.part[2];
    const double day_s = form == TimeForm::clock_of_day ? static_cast<double>(kSecondsPerDay) * cell.days_later : 0.0;
    return (cell.negative ? -1.0 : 1.0) * (whole + cell.fraction_s) + day_s;
}

bool fits(const TimeText& cell, TimeForm form) {
    const bool hours_fit = form != TimeForm::clock_of_day || cell.part[0] <= 23;
    return hours_fit && cell.part[1] <= 59 && cell.part[2] <= 59 && !(form == TimeForm::clock_of_day && cell.negative);
}

/// Past midnight the clock of day starts anew: a step back of more than half a day is the next day. (The reader of a wide table
/// has counted the midnights already; a file with one reading per row is put in order first.)
void make_continuous(std::vector<double>& time_s) {
    double first = kNoTime, last = kNoTime, days_s = 0.0;
    for (double& time : time_s) {
        if (time != time) continue;
        if (first != first) first = time;
        if (time + days_s < last - kSecondsPerDay / 2.0) days_s += kSecondsPerDay;
        last = time + days_s;
        time = last - first;
    }
}

bool is_clock_choice(TimeForm form) {
    return form == TimeForm::elapsed_hms || form == TimeForm::elapsed_ms || form == TimeForm::clock_of_day;
}

}  // namespace

ResolvedTimes resolve_clock(std::span<const TimeText> cells, std::span<const int> lines, const TimeHints& hints,
                            ProblemList& problems) {
    if (hints.option && !is_clock_choice(*hints.option))
        problems.fail(
            0, hints.heading,
            fmt::format("the time form '{}' was asked for, but the column holds times with colons and no date; accepted: "
                        "hh:mm:ss, mm:ss, clock",
                        time_form_name(*hints.option)));
    ResolvedTimes out;
    out.form = hints.option ? *hints.option : form_of(facts_of(cells), hints, problems);
    out.found = hints.option                                                           ? "option"
                : hints.unit == UnitKind::hms || hints.unit == UnitKind::minute_second ? hints.unit_found
                                                                                       : "in the cells";
    for (std::size_t i = 0; i < cells.size(); ++i) {
        out.time_s.push_back(cells[i].readable ? seconds_of(cells[i], out.form) : kNoTime);
        if (!cells[i].readable || fits(cells[i], out.form)) continue;
        problems.add(lines[i], hints.heading,
                     fmt::format("'{}' is not a time of the form {}", cells[i].text, time_form_name(out.form)));
        out.time_s.back() = kNoTime;
    }
    if (out.form == TimeForm::clock_of_day) {
        out.remarks.push_back(
            fmt::format("the time column '{}' gives the time of day without a date: time 0 is the first row, {}", hints.heading,
                        cells.empty() ? std::string_view{} : cells.front().text));
        make_continuous(out.time_s);
    }
    return out;
}

}  // namespace bakewright::probe
