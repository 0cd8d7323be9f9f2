#pragma once

#include <string>
#include <utility>
#include <vector>

#include "bakewright/base/quantity.hpp"
#include "bakewright/plan/plan.hpp"

namespace bakewright::cli {

/// "45 min", or "30 to 90 min": from and to, the same where one quantity is given. The first number may do without its unit.
/// @param option  with its dashes, for messages @throws InputError
[[nodiscard]] std::pair<double, double> range_of(const std::string& text, Dimension dimension, const std::string& option);

/// "45 degC, 20 min": set point and hold. @throws InputError
[[nodiscard]] plan::Step step_of(const std::string& text, const std::string& option);
[[nodiscard]] std::vector<plan::Step> steps_of(const std::vector<std::string>& texts, const std::string& option);

/// The names in lists parted by commas, without the spaces round them.
[[nodiscard]] std::vector<std::string> names_in(const std::vector<std::string>& lists);

}  // namespace bakewright::cli
