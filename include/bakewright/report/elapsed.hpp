#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace bakewright::report {

/// Time since the start of a bake as hours and minutes, rounded to the minute: "0:45", "12:05", "-0:03"; "n/a" where not finite.
[[nodiscard]] std::string elapsed_text(double time_s);

/// Minutes since midnight of an ISO 8601 time such as "2026-03-04T14:05" or "2026-03-04 14:05:30+01:00"; nothing for any other
/// text.
[[nodiscard]] std::optional<int> clock_minutes(std::string_view started_at) noexcept;

/// What the shop's clock shows so long after the start: "18:40", the next day "01:10 (+1 day)"; empty where the start is unknown.
/// Summer-time changes during a bake are not known to it.
[[nodiscard]] std::string clock_text(std::string_view started_at, double time_s);

}  // namespace bakewright::report
