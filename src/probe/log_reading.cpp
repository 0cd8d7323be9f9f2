// SPDX-License-Identifier: Apache-2.0
#include "bakewright/probe/log_reading.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace bakewright::probe {
namespace {

struct NamedForm {
    TimeForm form;
    std::string_view name;
};
constexpr std::array kForms = {NamedForm{TimeForm::elapsed_milliseconds, "ms"},
                               NamedForm{TimeForm::elapsed_seconds, "s"},
                               NamedForm{TimeForm::elapsed_minutes, "min"},
                               NamedForm{TimeForm::elapsed_hours, "h"},
                               NamedForm{TimeForm::elapsed_days, "d"},
                               NamedForm{TimeForm::elapsed_hms, "hh:mm:ss"},
                               NamedForm{TimeForm::elapsed_ms, "mm:ss"},
                               NamedForm{TimeForm::clock_of_day, "clock"},
                               NamedForm{TimeForm::date_year_first, "year-first"},
                               NamedForm{TimeForm::date_day_first, "day-first"},
                               NamedForm{TimeForm::date_month_first, "month-first"},
                               NamedForm{TimeForm::unix_seconds, "unix-s"},
                               NamedForm{TimeForm::unix_milliseconds, "unix-ms"},
                               NamedForm{TimeForm::unix_microseconds, "unix-us"},
                               NamedForm{TimeForm::unix_nanoseconds, "unix-ns"},
                               NamedForm{TimeForm::spreadsheet_days, "spreadsheet-days"}};

}  // namespace

std::string_view time_form_name(TimeForm form) noexcept {
    for (const NamedForm& known : kForms)
        if (known.form == form) return known.name;
    return "";
}

std::optional<TimeForm> time_form_from_name(std::string_view name) noexcept {
    for (const NamedForm& known : kForms)
        if (known.name == name) return known.form;
    return {};
}

bool is_clock_form(TimeForm form) noexcept { return form >= TimeForm::clock_of_day; }

std::string_view quantity_name(Quantity quantity) noexcept {
    switch (quantity) {
        case Quantity::temperature:
            return "temperature";
        case Quantity::time:
            return "time";
        case Quantity::voltage:
            return "voltage";
        case Quantity::other:
            return "other";
        case Quantity::text:
            return "text";
        case Quantity::unread:
            return "not chosen";
    }
    return "";
}

std::string LogFault::text() const {
    std::string out = count > 1 ? fmt::format("{} {}", count, message) : message;
    if (lines.empty()) return out;
    constexpr std::size_t kShown = 5;
    const std::size_t shown = std::min(kShown, lines.size());
    out += fmt::format(" ({} {}", count > 1 ? "lines" : "line", lines.front());
    for (std::size_t i = 1; i < shown; ++i) out += fmt::format(", {}", lines[i]);
    if (count > shown) out += fmt::format(" and {} more", count - shown);
    return out + ")";
}

const LogChannel* LogReading::find(std::string_view name) const noexcept {
    for (const LogChannel& channel : channels)
        if (channel.name == name) return &channel;
    for (const LogChannel& channel : channels)
        if (channel.heading == name) return &channel;
    return nullptr;
}

std::string_view delimiter_name(char delimiter) noexcept {
    switch (delimiter) {
        case ',':
            return "comma";
        case ';':
            return "semicolon";
        case '\t':
            return "tab";
        case '|':
            return "vertical bar";
        case ' ':
            return "blanks";
        default:
            return "unknown";
    }
}

}  // namespace bakewright::probe
