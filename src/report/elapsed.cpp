#include "bakewright/report/elapsed.hpp"

#include <fmt/format.h>

#include <cmath>

#include "bakewright/base/units.hpp"

namespace bakewright::report {
namespace {

constexpr int kMinutesPerDay = 24 * 60;

bool follows(std::string_view text, std::string_view pattern) noexcept {
    if (text.size() < pattern.size()) return false;
    for (std::size_t i = 0; i < pattern.size(); ++i) {
        const bool digit = text[i] >= '0' && text[i] <= '9';
        if (pattern[i] == '0' ? !digit : (pattern[i] == 'T' ? text[i] != 'T' && text[i] != ' ' : text[i] != pattern[i]))
            return false;
    }
    return true;
}

int two_digits(std::string_view text, std::size_t at) noexcept { return (text[at] - '0') * 10 + (text[at + 1] - '0'); }

}  // namespace

std::string elapsed_text(double time_s) {
    if (!std::isfinite(time_s)) return "n/a";
    const auto minutes = std::llround(std::abs(seconds_to_minutes(time_s)));
    return fmt::format("{}{}:{:02}", time_s < 0.0 && minutes > 0 ? "-" : "", minutes / 60, minutes % 60);
}

std::optional<int> clock_minutes(std::string_view started_at) noexcept {
    if (!follows(started_at, "0000-00-00T00:00")) return std::nullopt;
    const int hour = two_digits(started_at, 11);
    const int minute = two_digits(started_at, 14);
    if (hour > 23 || minute > 59) return std::nullopt;
    return 60 * hour + minute;
}

std::string clock_text(std::string_view started_at, double time_s) {
    const std::optional<int> start = clock_minutes(started_at);
    if (!start || !std::isfinite(time_s)) return {};
    const long long seconds = follows(started_at, "0000-00-00T00:00:00") ? two_digits(started_at, 17) : 0;
    const double since_midnight_min = *start + seconds_to_minutes(static_cast<double>(seconds) + time_s);
    const auto minutes = std::llround(since_midnight_min);
    const auto days = static_cast<long long>(std::floor(static_cast<double>(minutes) / kMinutesPerDay));
    const auto of_day = minutes - days * kMinutesPerDay;
    std::string text = fmt::format("{:02}:{:02}", of_day / 60, of_day % 60);
    if (days != 0) text += fmt::format(" ({:+} day{})", days, std::abs(days) == 1 ? "" : "s");
    return text;
}

}  // namespace bakewright::report
