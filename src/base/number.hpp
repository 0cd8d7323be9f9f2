#pragma once

#include <string_view>

namespace bakewright {

/// Reads an unsigned number at the start of a plain text and takes it off: "12", "1.5", "1e-4", "3/16", "1 1/2", "1-1/2".
/// @throws Refusal (unit_expression.hpp) where no finite number stands there
[[nodiscard]] double take_number(std::string_view& text);

}  // namespace bakewright
