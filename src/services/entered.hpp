// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace bakewright::services {

/// A moment by the shop's clock.
struct ShopTime {
    std::string text;    ///< "YYYY-MM-DDThh:mm:ss"
    double since_s = 0;  ///< seconds since 1970-01-01T00:00:00 by the same clock
};

/// Reads "2027-03-01T16:00", with a space for the T, with or without seconds; or "3/1/2027 4:20 PM", the month first. A zone at
/// the end ("Z", "+01:00") is passed over: the clock on the wall counts. Nothing for any other text, or a day that is not in the
/// calendar.
[[nodiscard]] std::optional<ShopTime> shop_time_from(std::string_view text);

/// The same. @throws InputError that names the option
[[nodiscard]] ShopTime shop_time(const std::string& text, const std::string& option);

/// Longest note that a coat is kept with.
inline constexpr std::size_t kLongestNote = 4000;

/// A title, name or note that a person gave and that goes into the book or on paper, under the rule of profiles: UTF-8, no
/// control characters, at most `longest` bytes (profile::kLongestText where none is said). Empty is nothing given, and stays so.
/// @param option  for the message, with its dashes  @throws InputError
[[nodiscard]] std::string entered_text(const std::string& option, std::string text);
[[nodiscard]] std::string entered_text(const std::string& option, std::string text, std::size_t longest);

}  // namespace bakewright::services
