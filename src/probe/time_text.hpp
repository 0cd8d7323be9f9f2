// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <optional>
#include <string_view>

namespace bakewright::probe {

/// How a date is written, before it is known what its numbers mean.
enum class DateShape {
    none,
    year_first,   ///< 2026-12-24: year, month, day are known
    two_numbers,  ///< 24/12/2026 or 12/24/2026: the file as a whole must tell
    named_month   ///< 24 Dec 2026, Dec 24, 2026: known
};

/// One field of a time column taken apart; nothing in it is interpreted that the field alone cannot tell.
struct TimeText {
    std::string_view text;  ///< the field, for messages
    bool readable = false;  ///< false for a blank or for text that is no time
    // A number, whatever it counts.
    bool is_number = false;
    double number = 0.0;
    // A date.
    DateShape date = DateShape::none;
    int year = 0;
    int first = 0;            ///< month where the shape is known, else the first number
    int second = 0;           ///< day where the shape is known, else the second number
    bool short_year = false;  ///< of two_numbers: the year has two digits, so that it may be any of the three
    int days_later = 0;       ///< to be added to the date, or to a time of day without one: midnights passed since the first row
    bool dotted = false;      ///< 24.12.2026: everywhere day first
    // A time of day or an elapsed h:mm:ss.
    int clock_parts = 0;  ///< 2 or 3 numbers between colons; 0 where there is none
    int part[3] = {0, 0, 0};
    double fraction_s = 0.0;  ///< behind the last number
    bool has_fraction = false;
    bool twelve_hour = false;  ///< AM or PM stands behind it, already put into part[0]
    bool negative = false;
    bool has_days = false;            ///< "1.02:03:04" and "1d 02:03:04", days already put into part[0]: elapsed
    std::optional<int> zone_minutes;  ///< east of Greenwich

    [[nodiscard]] bool has_date() const noexcept { return date != DateShape::none; }
    [[nodiscard]] bool has_clock() const noexcept { return clock_parts > 0; }
};

/// Reads a field: a number; ISO 8601 (extended, and the basic form of 14 digits or with T); day, month, year with / - . or a
/// month's English, German, French, Spanish or Dutch name, years of 2 or 4 digits; h:mm, h:mm:ss, d.hh:mm:ss, fractions behind
/// . or , ; AM and PM; Z, UTC, +hh:mm and the abbreviations of European and North American zones.
[[nodiscard]] TimeText read_time(std::string_view field, char decimal_mark) noexcept;

/// A date in one field and a time of day in another.
[[nodiscard]] TimeText joined(const TimeText& date, const TimeText& clock) noexcept;

}  // namespace bakewright::probe
