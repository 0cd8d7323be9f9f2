// SPDX-License-Identifier: Apache-2.0
#include "time_text.hpp"

#include <algorithm>
#include <array>

#include "cell.hpp"
#include "row_scanner.hpp"

namespace bakewright::probe {
namespace {

/// English, German, French, Spanish and Dutch, long and cut short; a bar behind each name.
constexpr std::array<std::string_view, 12> kMonths = {
    "jan|january|januar|janv|janvier|ene|enero|januari|",
    "feb|february|februar|f\xC3\xA9v|f\xC3\xA9vr|fevr|f\xC3\xA9vrier|fevrier|febrero|februari|",
    "mar|march|m\xC3\xA4r|m\xC3\xA4rz|maerz|mrz|mars|marzo|mrt|maart|",
    "apr|april|avr|avril|abr|abril|",
    "may|mai|mayo|mei|",
    "jun|june|juni|juin|junio|",
    "jul|july|juli|juil|juillet|julio|",
    "aug|august|ao\xC3\xBBt|aout|ago|agosto|augustus|",
    "sep|sept|september|septembre|septiembre|set|",
    "oct|october|okt|oktober|octobre|octubre|",
    "nov|november|novembre|noviembre|",
    "dec|december|dez|dezember|d\xC3\xA9\x63|d\xC3\xA9\x63\x65mbre|decembre|dic|diciembre|"};

bool is_one_of_names(std::string_view names, std::string_view word) noexcept {
    while (!names.empty()) {
        const std::size_t end = names.find('|');
        if (equals_ignoring_case(names.substr(0, end), word)) return true;
        names.remove_prefix(end + 1);
    }
    return false;
}

struct ZoneName {
    std::string_view name;
    int minutes;  ///< east of Greenwich
};
/// Abbreviations of Europe and North America, where the tool's loggers are; those that mean several zones elsewhere too.
constexpr std::array kZones = {ZoneName{"z", 0},      ZoneName{"utc", 0},    ZoneName{"gmt", 0},    ZoneName{"wet", 0},
                               ZoneName{"west", 60},  ZoneName{"bst", 60},   ZoneName{"cet", 60},   ZoneName{"cest", 120},
                               ZoneName{"mez", 60},   ZoneName{"mesz", 120}, ZoneName{"eet", 120},  ZoneName{"eest", 180},
                               ZoneName{"est", -300}, ZoneName{"edt", -240}, ZoneName{"cst", -360}, ZoneName{"cdt", -300},
                               ZoneName{"mst", -420}, ZoneName{"mdt", -360}, ZoneName{"pst", -480}, ZoneName{"pdt", -420}};
constexpr std::array<std::string_view, 7> kWeekdays = {"mon", "tue", "wed", "thu", "fri", "sat", "sun"};

/// Years of two digits: 70 to 99 are of the last century (POSIX strptime has the border at 69).
int full_year(int year, std::size_t digits) noexcept {
    if (digits > 2) return year;
    return year + (year >= 69 ? 1900 : 2000);
}

/// Reads a field from left to right into a TimeText.
class TimeReader {
public:
    explicit TimeReader(std::string_view field) noexcept : rest_(field) { out_.text = field; }

    TimeText read() noexcept {
        if (!rest_.empty() && rest_.front() == '-' && rest_.find(':') != std::string_view::npos) {
            out_.negative = true;
            rest_.remove_prefix(1);
        }
        while (skip_separators(), !rest_.empty())
            if (!read_part()) return out_;
        out_.readable = (out_.has_date() || out_.has_clock()) && !(out_.negative && out_.has_date());
        return out_;
    }

private:
    void skip_separators() noexcept {
        while (!rest_.empty() && (rest_.front() == ' ' || rest_.front() == '\t' || rest_.front() == ',')) rest_.remove_prefix(1);
        if (out_.has_date() && !out_.has_clock() && rest_.size() > 1 && lower(rest_.front()) == 't' && is_digit(rest_[1]))
            rest_.remove_prefix(1);
    }

    bool read_part() noexcept {
        if (out_.has_clock() && read_zone()) return true;
        if (is_letter(rest_.front())) return read_word();
        if (!is_digit(rest_.front())) return false;
        return read_clock() || read_date() || read_compact();
    }

    std::size_t digits_at(std::size_t at) const noexcept {
        std::size_t count = 0;
        while (at + count < rest_.size() && is_digit(rest_[at + count])) ++count;
        return count;
    }
    int number_at(std::size_t at, std::size_t digits) const noexcept {
        int value = 0;
        for (std::size_t i = 0; i < std::min<std::size_t>(digits, 8); ++i) value = value * 10 + (rest_[at + i] - '0');
        return value;
    }
    char char_at(std::size_t at) const noexcept { return at < rest_.size() ? rest_[at] : '\0'; }

    /// h:mm, h:mm:ss, with a fraction; behind a date also h.mm.ss.
    bool read_clock() noexcept {
        if (out_.has_clock()) return false;
        take_days();
        std::size_t at = digits_at(0);
        const char mark = char_at(at);
        if (at == 0 || at > 5 || !(mark == ':' || (mark == '.' && out_.has_date()))) return false;
        out_.part[0] = number_at(0, at);
        int parts = 1;
        while (parts < 3 && char_at(at) == mark && digits_at(at + 1) == 2) {
            out_.part[parts++] = number_at(at + 1, 2);
            at += 3;
        }
        if (parts < 2 || (mark == '.' && parts < 3)) return false;
        if (char_at(at) != ':' || (parts == 3 && digits_at(at + 1) == 3)) at = read_fraction(at);
        out_.clock_parts = parts;
        out_.part[0] += 24 * days_;
        rest_.remove_prefix(at);
        return read_half_day();
    }

    /// "1.02:03:04", "1d 02:03:04": days before the hours, which are added once they are read.
    void take_days() noexcept {
        const std::size_t digits = digits_at(0);
        if (out_.has_date() || digits == 0 || digits > 3) return;
        std::size_t at = digits + 1;
        if (lower(char_at(digits)) == 'd' && char_at(at) == ' ') ++at;
        const bool follows = digits_at(at) == 2 && char_at(at + 2) == ':' && digits_at(at + 3) == 2 && char_at(at + 5) == ':';
        if ((char_at(digits) != '.' && lower(char_at(digits)) != 'd') || !follows) return;
        days_ = number_at(0, digits);
        out_.has_days = true;
        rest_.remove_prefix(at);
    }

    std::size_t read_fraction(std::size_t at) noexcept {
        const char mark = char_at(at);
        const std::size_t digits = mark == '.' || mark == ',' || mark == ':' ? digits_at(at + 1) : 0;
        if (digits == 0) return at;
        double scale = 0.1;
        for (std::size_t i = 0; i < std::min<std::size_t>(digits, 12); ++i, scale /= 10.0)
            out_.fraction_s += scale * (rest_[at + 1 + i] - '0');
        out_.has_fraction = true;
        return at + 1 + digits;
    }

    /// "AM", "pm", "a.m."; false where it contradicts the hour.
    bool read_half_day() noexcept {
        std::string_view after = trimmed(rest_);
        if (after.empty() || (lower(after.front()) != 'a' && lower(after.front()) != 'p')) return true;
        const bool afternoon = lower(after.front()) == 'p';
        after.remove_prefix(1);
        if (!after.empty() && after.front() == '.') after.remove_prefix(1);
        if (after.empty() || lower(after.front()) != 'm') return true;
        after.remove_prefix(1);
        if (!after.empty() && after.front() == '.') after.remove_prefix(1);
        if (out_.part[0] < 1 || out_.part[0] > 12) return false;
        out_.part[0] = out_.part[0] % 12 + (afternoon ? 12 : 0);
        out_.twelve_hour = true;
        rest_ = after;
        return true;
    }

    /// Z, UTC, GMT, +02:00, +0200, -05.
    bool read_zone() noexcept {
        if (out_.zone_minutes) return false;
        for (const ZoneName& zone : kZones) {
            const std::size_t size = zone.name.size();
            if (!equals_ignoring_case(rest_.substr(0, size), zone.name) || is_letter(char_at(size))) continue;
            out_.zone_minutes = zone.minutes;
            rest_.remove_prefix(size);
            return true;
        }
        if (rest_.front() != '+' && rest_.front() != '-') return false;
        const int sign = rest_.front() == '-' ? -1 : 1;
        const std::size_t digits = digits_at(1);
        if (digits != 2 && digits != 4) return false;
        int minutes = digits == 4 ? number_at(1, 2) * 60 + number_at(3, 2) : number_at(1, 2) * 60;
        std::size_t end = 1 + digits;
        if (digits == 2 && char_at(3) == ':' && digits_at(4) == 2) {
            minutes += number_at(4, 2);
            end = 6;
        }
        out_.zone_minutes = sign * minutes;
        rest_.remove_prefix(end);
        return true;
    }

    /// Three numbers with one separator, or two around a month's name.
    bool read_date() noexcept {
        const std::size_t a_digits = digits_at(0);
        const char mark = char_at(a_digits);
        if (out_.has_date() || a_digits == 0 || a_digits > 4) return false;
        if (is_letter(char_at(a_digits + (is_letter(mark) ? 0 : 1)))) return read_day_and_month_name(a_digits);
        if (mark != '/' && mark != '-' && mark != '.') return false;
        const std::size_t b_at = a_digits + 1, b_digits = digits_at(b_at);
        const std::size_t c_at = b_at + b_digits + 1, c_digits = digits_at(c_at);
        if (b_digits == 0 || b_digits > 2 || char_at(b_at + b_digits) != mark || c_digits == 0 || c_digits > 4) return false;
        const int a = number_at(0, a_digits), b = number_at(b_at, b_digits), c = number_at(c_at, c_digits);
        if (a_digits == 4 && c_digits <= 2) {
            set_date(DateShape::year_first, a, b, c);
        } else if (a_digits <= 2 && (c_digits == 4 || c_digits == 2)) {
            set_date(DateShape::two_numbers, full_year(c, c_digits), a, b);
            out_.short_year = c_digits == 2;
            out_.dotted = mark == '.';
        } else {
            return false;
        }
        rest_.remove_prefix(c_at + c_digits);
        return true;
    }

    void set_date(DateShape shape, int year, int first, int second) noexcept {
        out_.date = shape;
        out_.year = year;
        out_.first = first;
        out_.second = second;
    }

    /// Takes letters off the front; a month's number from 1, or 0.
    int take_month() noexcept {
        std::size_t length = word_length();
        for (const std::string_view of : {"de", "of"})
            if (equals_ignoring_case(rest_.substr(0, length), of)) {
                rest_.remove_prefix(length);
                skip_date_marks();
                length = word_length();
            }
        const std::string_view word = rest_.substr(0, length);
        for (std::size_t i = 0; i < kMonths.size(); ++i) {
            if (word.empty() || !is_one_of_names(kMonths[i], word)) continue;
            rest_.remove_prefix(length);
            return static_cast<int>(i) + 1;
        }
        return 0;
    }
    /// Of letters, also such as no ASCII has.
    std::size_t word_length() const noexcept {
        std::size_t length = 0;
        while (is_letter(char_at(length)) || static_cast<unsigned char>(char_at(length)) >= 0x80) ++length;
        return length;
    }
    void skip_date_marks() noexcept {
        while (!rest_.empty() && (rest_.front() == ' ' || rest_.front() == '-' || rest_.front() == '/' || rest_.front() == '.' ||
                                  rest_.front() == ','))
            rest_.remove_prefix(1);
    }

    /// "24 Dec 2026", "24-Dec-26".
    bool read_day_and_month_name(std::size_t day_digits) noexcept {
        if (day_digits > 2) return false;
        const int day = number_at(0, day_digits);
        rest_.remove_prefix(day_digits);
        skip_date_marks();
        const int month = take_month();
        skip_date_marks();
        for (const std::string_view of : {"de ", "del "})
            if (equals_ignoring_case(rest_.substr(0, of.size()), of)) rest_.remove_prefix(of.size());
        const std::size_t digits = digits_at(0);
        if (month == 0 || (digits != 2 && digits != 4)) return false;
        set_date(DateShape::named_month, full_year(number_at(0, digits), digits), month, day);
        rest_.remove_prefix(digits);
        return true;
    }

    /// A month's name in front ("Dec 24, 2026"), or a day of the week, which tells nothing.
    bool read_word() noexcept {
        if (out_.has_date()) return false;
        if (const int month = take_month(); month != 0) {
            skip_date_marks();
            const std::size_t day_digits = digits_at(0);
            const int day = number_at(0, day_digits);
            rest_.remove_prefix(day_digits);
            skip_date_marks();
            const std::size_t digits = digits_at(0);
            if (day_digits == 0 || day_digits > 2 || digits != 4) return false;
            set_date(DateShape::named_month, number_at(0, 4), month, day);
            rest_.remove_prefix(digits);
            return true;
        }
        return skip_weekday();
    }

    bool skip_weekday() noexcept {
        std::size_t length = 0;
        while (is_letter(char_at(length))) ++length;
        for (const std::string_view day : kWeekdays) {
            if (length < 3 || !equals_ignoring_case(rest_.substr(0, 3), day)) continue;
            rest_.remove_prefix(length);
            return true;
        }
        return false;
    }

    /// ISO 8601 basic: 20261224T140510, 20261224 140510 and 20261224140510.
    bool read_compact() noexcept {
        const std::size_t digits = digits_at(0);
        if (!out_.has_date() && (digits == 8 || digits == 14)) {
            set_date(DateShape::year_first, number_at(0, 4), number_at(4, 2), number_at(6, 2));
            rest_.remove_prefix(8);
            if (digits == 8) return true;
        } else if (!out_.has_date() || out_.has_clock() || digits != 6) {
            return false;
        }
        for (std::size_t i = 0; i < 3; ++i) out_.part[i] = number_at(2 * i, 2);
        out_.clock_parts = 3;
        rest_.remove_prefix(read_fraction(6));
        return true;
    }

    std::string_view rest_;
    TimeText out_;
    int days_ = 0;
};

bool is_compact_date_time(std::string_view field) noexcept {
    return field.size() == 14 && (field.substr(0, 2) == "19" || field.substr(0, 2) == "20") &&
           std::all_of(field.begin(), field.end(), is_digit);
}

}  // namespace

TimeText read_time(std::string_view field, char decimal_mark) noexcept {
    const Cell cell = read_cell(field, decimal_mark);
    if (cell.kind == CellKind::number && cell.suffix.empty() && !is_compact_date_time(field)) {
        TimeText out;
        out.text = field;
        out.readable = true;
        out.is_number = true;
        out.number = cell.value;
        return out;
    }
    if (const std::string plain = without_thousands_marks(field, decimal_mark, true); !plain.empty()) {
        TimeText out;
        out.text = field;
        out.readable = out.is_number = true;
        out.number = read_cell(plain, decimal_mark).value;
        return out;
    }
    return TimeReader(field).read();
}

TimeText joined(const TimeText& date, const TimeText& clock) noexcept {
    TimeText out = clock;
    out.date = date.date;
    out.year = date.year;
    out.first = date.first;
    out.second = date.second;
    out.dotted = date.dotted;
    out.short_year = date.short_year;
    out.readable = date.readable && clock.readable && date.has_date() && clock.has_clock();
    return out;
}

}  // namespace bakewright::probe
