#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace bakewright::shop {

/// A moment by the shop's clock.
struct ShopTime {
    std::string text;    ///< "YYYY-MM-DDThh:mm:ss"
    double since_s = 0;  ///< seconds since 1970-01-01T00:00:00 by the same clock
};

/// Reads "2027-03-01T16:00", with a space for the T, with or without seconds. A zone at the end ("Z", "+01:00") is passed over:
/// the clock on the wall counts. Nothing for any other text, or a day that is not in the calendar.
[[nodiscard]] std::optional<ShopTime> shop_time_from(std::string_view text);

/// The same. @throws InputError that names the option
[[nodiscard]] ShopTime shop_time(const std::string& text, const std::string& option);

}  // namespace bakewright::shop
