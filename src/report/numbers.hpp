#pragma once

#include <string>

#include "bakewright/base/format.hpp"

/// Numbers for table cells, whose heads carry the unit. "n/a" for a value that is not finite.
namespace bakewright::report {

[[nodiscard]] std::string fixed(double value, int decimals);
[[nodiscard]] std::string temperature_number(double temperature_k, const Units& units, int decimals = 1);
[[nodiscard]] std::string difference_number(double difference_k, const Units& units, int decimals = 1);
[[nodiscard]] std::string minutes_number(double time_s, int decimals = 1);
/// The unit of a difference in the user's degrees: "K" or "°F".
[[nodiscard]] std::string difference_symbol(const Units& units);

}  // namespace bakewright::report
