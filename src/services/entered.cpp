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
    bool one_of(std::string_view marks) {
        if (rest_.empty() || marks.find(rest_.front()) == std::string_view::npos) return false;
        rest_.remove_prefix(1);
        return true;
    }
    /// Nothing is left but a fraction of a second and a zone.
    [[nodiscard]] bool at_zone() const {
        return rest_.empty() || rest_ == "Z" ||
               ((rest_.front() == '+' || rest_.front() == '-' || rest_.front() == '.') && rest_.size() <= 16);
    }

private:
    std::string_view rest_;
};

}  // namespace

std::optional<ShopTime> shop_time_from(std::string_view text) {
    Taker taker(text);
    int year = 0, month = 0, day = 0, hour = 0, minute = 0, second = 0;
    const bool read = taker.number(4, year) && taker.one_of("-") && taker.number(2, month) && taker.one_of("-") &&
                      taker.number(2, day) && taker.one_of("T ") && taker.number(2, hour) && taker.one_of(":") &&
                      taker.number(2, minute);
    if (!read || (taker.one_of(":") && !taker.number(2, second)) || !taker.at_zone()) return std::nullopt;
    const std::chrono::year_month_day date{std::chrono::year(year), std::chrono::month(static_cast<unsigned>(month)),
                                           std::chrono::day(static_cast<unsigned>(day))};
    if (!date.ok() || hour > 23 || minute > 59 || second > 59) return std::nullopt;
    const auto days = std::chrono::sys_days(date).time_since_epoch().count();
    return ShopTime{fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}", year, month, day, hour, minute, second),
                    86400.0 * static_cast<double>(days) + 3600.0 * hour + 60.0 * minute + second};
}

ShopTime shop_time(const std::string& text, const std::string& option) {
    if (std::optional<ShopTime> time = shop_time_from(text)) return *time;
    throw InputError(Problem{{}, 0, option, fmt::format("'{}' is no time of the shop's clock, such as 2027-03-01T16:00", text)});
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
