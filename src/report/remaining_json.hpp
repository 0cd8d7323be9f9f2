#pragma once

#include "bakewright/cure/history.hpp"
#include "json_records.hpp"

namespace bakewright::report {

/// What coats and items have left, as an object: coats, items.
[[nodiscard]] Json remaining_json(const cure::ShellVerdict& verdict);

}  // namespace bakewright::report
