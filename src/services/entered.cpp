// SPDX-License-Identifier: Apache-2.0
#include "bakewright/services/entered.hpp"

#include <fmt/core.h>

#include <charconv>
#include <chrono>

#include "bakewright/base/error.hpp"
#include "bakewright/profile/text_rules.hpp"

namespace bakewright::services {

namespace {

/// Takes numbers and marks off the front of a text.
class Taker {
public:
    explicit Taker(std::string_view text) : rest_(text) {}

    bool number(std::size_t digits, int& target) {
        if (rest_.size() < digits) return false;
        const auto [end, status] = std::from_chars(rest_.data(), rest_.data() + digits, target);
        if (status != std::errc{} || end != rest_.data() + digits || target < 0) return false;
        rest_.remove_prefix(digits);
        return true;
    }
    bool one_or_two(int& target) { return number(2, target) || number(1, target); }
    bool one_of(std::string_view marks) {
        if (rest_.empty() || marks.find(rest_.front()) == std::string_view::npos) return false;
        rest_.remove_prefix(1);
        return true;
    }
    [[nodiscard]] bool at_end() const { return rest_.empty(); }
    /// Nothing is left but a fraction of a second and a zone.
    [[nodiscard]] bool at_zone() const {
        return rest_.empty() || rest_ == "Z" ||
               ((rest_.front() == '+' || rest_.front() == '-' || rest_.front() == '.') && rest_.size() <= 16);
    }

private:
    std::string_view rest_;
};

}  // namespace

namespace {

struct Moment {
    int year = 0, month = 0, day = 0, hour = 0, minute = 0, second = 0;
};

std::optional<Moment> iso_moment(std::string_view text) {
    Taker taker(text);
    Moment at;
    const bool read = taker.number(4, at.year) && taker.one_of("-") && taker.number(2, at.month) && taker.one_of("-") &&
                      taker.number(2, at.day) && taker.one_of("T ") && taker.number(2, at.hour) && taker.one_of(":") &&
                      taker.number(2, at.minute);
    if (!read || (taker.one_of(":") && !taker.number(2, at.second)) || !taker.at_zone()) return std::nullopt;
    return at;
}

/// "3/1/2027 4:20 PM", month first. Without AM or PM it could be the first of March or the third of January: not read.
std::optional<Moment> us_moment(std::string_view text) {
    Taker taker(text);
    Moment at;
    const bool read = taker.one_or_two(at.month) && taker.one_of("/") && taker.one_or_two(at.day) && taker.one_of("/") &&
                      taker.number(4, at.year) && taker.one_of(" ") && taker.one_or_two(at.hour) && taker.one_of(":") &&
                      taker.number(2, at.minute);
    taker.one_of(" ");
    const bool is_morning = taker.one_of("aA"), is_evening = !is_morning && taker.one_of("pP");
    if (!read || !(is_morning || is_evening) || !taker.one_of("mM") || !taker.at_end()) return std::nullopt;
    if (at.hour < 1 || at.hour > 12) return std::nullopt;
    at.hour = at.hour % 12 + (is_evening ? 12 : 0);
    return at;
}

}  // namespace

std::optional<ShopTime> shop_time_from(std::string_view text) {
    std::optional<Moment> read = iso_moment(text);
    if (!read) read = us_moment(text);
    if (!read) return std::nullopt;
    const auto [year, month, day, hour, minute, second] = *read;
    const std::chrono::year_month_day date{std::chrono::year(year), std::chrono::month(static_cast<unsigned>(month)),
                                           std::chrono::day(static_cast<unsigned>(day))};
    if (!date.ok() || hour > 23 || minute > 59 || second > 59) return std::nullopt;
    const auto days = std::chrono::sys_days(date).time_since_epoch().count();
    return ShopTime{fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}", year, month, day, hour, minute, second),
                    86400.0 * static_cast<double>(days) + 3600.0 * hour + 60.0 * minute + second};
}

ShopTime shop_time(const std::string& text, const std::string& option) {
    if (std::optional<ShopTime> time = shop_time_from(text)) return *time;
    throw InputError(
        Problem{{}, 0, option, fmt::format("'{}' is not a date and time; write 2027-03-01 16:00 or 3/1/2027 4:00 PM", text)});
}

std::string entered_text(const std::string& option, std::string text) {
    return entered_text(option, std::move(text), profile::kLongestText);
}

std::string entered_text(const std::string& option, std::string text, std::size_t longest) {
    if (text.empty()) return text;
    if (std::string fault = profile::fault_of_text(text, longest); !fault.empty())
        throw InputError(Problem{{}, 0, option, std::move(fault)});
    return text;
}

}  // namespace bakewright::services
