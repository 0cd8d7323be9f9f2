// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>

#include "time_column.hpp"

namespace bakewright::probe {
namespace {

enum class Order { unknown, day_first, month_first, year_first };

/// Which order the file itself proves. Lines are of the cells that prove it.
struct OrderProof {
    int day_first_line = 0;
    int month_first_line = 0;
    bool any_two_numbers = false;
    bool any_dotted = false;
    bool all_short = true;         ///< every year has two digits
    bool only_last_moves = false;  ///< 26/11/24, 26/11/25: the last number counts days
    int year_first_line = 0;       ///< 99/12/24: the first number can be neither day nor month
    bool all_equal = true;         ///< 05/05/2026 everywhere: both readings are the same
    std::string_view example;
};

OrderProof prove_order(std::span<const TimeText> cells, std::span<const int> lines) {
    OrderProof proof;
    const TimeText* before = nullptr;
    bool only_last = true, last_moves = false;
    for (std::size_t i = 0; i < cells.size(); ++i) {
        if (!cells[i].readable || cells[i].date != DateShape::two_numbers) continue;
        if (proof.example.empty()) proof.example = cells[i].text;
        proof.any_two_numbers = true;
        proof.any_dotted |= cells[i].dotted;
        proof.all_equal &= cells[i].first == cells[i].second;
        proof.all_short &= cells[i].short_year;
        if (before != nullptr && (cells[i].first != before->first || cells[i].second != before->second)) only_last = false;
        if (before != nullptr && cells[i].year != before->year) last_moves = true;
        before = &cells[i];
        if (cells[i].first > 31 && proof.year_first_line == 0) proof.year_first_line = lines[i];
        if (cells[i].first > 12 && proof.day_first_line == 0) proof.day_first_line = lines[i];
        if (cells[i].second > 12 && proof.month_first_line == 0) proof.month_first_line = lines[i];
    }
    proof.only_last_moves = only_last && last_moves;
    return proof;
}

Order decide_order(const OrderProof& proof, const TimeHints& hints, ResolvedTimes& out, ProblemList& problems) {
    out.found = "in the cells";
    if (hints.option == TimeForm::date_day_first || hints.option == TimeForm::date_month_first) {
        out.found = "option";
        return *hints.option == TimeForm::date_day_first ? Order::day_first : Order::month_first;
    }
    if (hints.option == TimeForm::date_year_first) {
        if (!proof.all_short)
            problems.fail(0, hints.heading,
                          fmt::format("the time form year-first was asked for, but the date '{}' ends in a year of four digits",
                                      proof.example));
        out.found = "option";
        return Order::year_first;
    }
    if (proof.all_short && (proof.year_first_line > 0 || proof.only_last_moves)) return Order::year_first;
    if (proof.day_first_line > 0 && proof.month_first_line > 0)
        problems.fail(std::max(proof.day_first_line, proof.month_first_line), hints.heading,
                      fmt::format("the dates change their order: line {} has the day first, line {} has the month first",
                                  proof.day_first_line, proof.month_first_line));
    if (proof.month_first_line > 0) return Order::month_first;
    if (proof.all_short)
        out.remarks.push_back(
            fmt::format("the date '{}' is read with the year last; where it stands first, say so with --time-form year-first",
                        proof.example));
    if (proof.day_first_line > 0 || proof.all_equal) return Order::day_first;
    if (proof.any_dotted) {
        out.remarks.push_back(fmt::format("the date '{}' is written with points and read day first", proof.example));
        return Order::day_first;
    }
    problems.fail(
        0, hints.heading,
        fmt::format("the date '{}' may have the day or the month first and no row of the file decides; say which with the "
                    "time form day-first or month-first",
                    proof.example));
}

struct Instant {
    bool valid = false;
    std::int64_t local_s = 0;
    double fraction_s = 0.0;
};

Instant instant_of(const TimeText& cell, Order order) {
    const bool is_open = cell.date == DateShape::two_numbers, swapped = is_open && order == Order::day_first;
    const bool year_first = is_open && order == Order::year_first;
    const int month = swapped || year_first ? cell.second : cell.first;
    const int day = year_first ? cell.year % 100 : swapped ? cell.first : cell.second;
    const int year = year_first ? cell.first + (cell.first >= 69 ? 1900 : 2000) : cell.year;
    if (month < 1 || day < 1 || year < 1900) return {};
    const std::chrono::year_month_day date{std::chrono::year(year), std::chrono::month(static_cast<unsigned>(month)),
                                           std::chrono::day(static_cast<unsigned>(day))};
    // ISO 8601 allows 24:00:00 for the end of a day, and 60 for a leap second.
    const bool end_of_day = cell.part[0] == 24 && cell.part[1] == 0 && cell.part[2] == 0;
    if (!date.ok() || (cell.part[0] > 23 && !end_of_day) || cell.part[1] > 59 || cell.part[2] > 60) return {};
    const std::int64_t days = std::chrono::sys_days(date).time_since_epoch().count() + cell.days_later;
    return {true, days * kSecondsPerDay + cell.part[0] * 3600 + cell.part[1] * 60 + cell.part[2], cell.fraction_s};
}

TimeForm form_of(const OrderProof& proof, Order order) {
    if (!proof.any_two_numbers || order == Order::year_first) return TimeForm::date_year_first;
    return order == Order::month_first ? TimeForm::date_month_first : TimeForm::date_day_first;
}

void check_option(const TimeHints& hints, ProblemList& problems) {
    if (!hints.option || *hints.option == TimeForm::date_day_first || *hints.option == TimeForm::date_month_first ||
        *hints.option == TimeForm::date_year_first)
        return;
    problems.fail(
        0, hints.heading,
        fmt::format("the time form '{}' was asked for, but the column holds dates; accepted: year-first, day-first, month-first",
                    time_form_name(*hints.option)));
}

void check_zones(std::span<const TimeText> cells, std::span<const int> lines, const TimeHints& hints, ProblemList& problems) {
    const TimeText* first = nullptr;
    for (std::size_t i = 0; i < cells.size(); ++i) {
        if (!cells[i].readable) continue;
        if (first == nullptr) first = &cells[i];
        if (cells[i].zone_minutes.has_value() == first->zone_minutes.has_value()) continue;
        problems.fail(lines[i], hints.heading,
                      fmt::format("'{}' and '{}': some rows give a time zone and some do not", first->text, cells[i].text));
    }
}

}  // namespace

std::string iso_text(std::int64_t local_s, double fraction_s, std::optional<int> zone_minutes) {
    const std::int64_t day_number = local_s >= 0 ? local_s / kSecondsPerDay : -((-local_s + kSecondsPerDay - 1) / kSecondsPerDay);
    const std::int64_t of_day = local_s - day_number * kSecondsPerDay;
    const std::chrono::year_month_day date{std::chrono::sys_days(std::chrono::days(day_number))};
    std::string out =
        fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}", static_cast<int>(date.year()), static_cast<unsigned>(date.month()),
                    static_cast<unsigned>(date.day()), of_day / 3600, of_day / 60 % 60, of_day % 60);
    const long microseconds = std::min(std::lround(fraction_s * 1e6), 999999L);
    if (microseconds > 0) {
        out += fmt::format(".{:06}", microseconds);
        while (out.back() == '0') out.pop_back();
    }
    if (!zone_minutes) return out;
    if (*zone_minutes == 0) return out + "Z";
    const int size = std::abs(*zone_minutes);
    return out + fmt::format("{}{:02}:{:02}", *zone_minutes < 0 ? '-' : '+', size / 60, size % 60);
}

ResolvedTimes resolve_dates(std::span<const TimeText> cells, std::span<const int> lines, const TimeHints& hints,
                            ProblemList& problems) {
    check_option(hints, problems);
    check_zones(cells, lines, hints, problems);
    ResolvedTimes out;
    const OrderProof proof = prove_order(cells, lines);
    out.found = "in the cells";
    const Order order = proof.any_two_numbers ? decide_order(proof, hints, out, problems) : Order::unknown;
    out.form = form_of(proof, order);
    Instant zero;
    for (std::size_t i = 0; i < cells.size(); ++i) {
        out.time_s.push_back(kNoTime);
        if (!cells[i].readable) continue;
        Instant instant = instant_of(cells[i], order);
        if (!instant.valid) {
            problems.add(lines[i], hints.heading,
                         fmt::format("'{}' is not a date of the calendar when read {}", cells[i].text, time_form_name(out.form)));
            continue;
        }
        if (out.started_at.empty()) out.started_at = iso_text(instant.local_s, instant.fraction_s, cells[i].zone_minutes);
        instant.local_s -= 60 * cells[i].zone_minutes.value_or(0);
        if (!zero.valid) zero = instant;
        out.time_s.back() = static_cast<double>(instant.local_s - zero.local_s) + (instant.fraction_s - zero.fraction_s);
    }
    return out;
}

}  // namespace bakewright::probe
