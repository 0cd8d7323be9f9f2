#pragma once

#include <string>

#include "bakewright/base/format.hpp"
#include "bakewright/cure/history.hpp"
#include "bakewright/plan/plan.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/text.hpp"

namespace bakewright::report {

/// What a shell's coats and items have left after a history: of each coat the zone that has used most of its longest time, of
/// each item every lifetime limit. A coat without a maximum time says so.
[[nodiscard]] Table remaining_table(const cure::ShellVerdict& verdict, const Units& units);
[[nodiscard]] std::string remaining_text(const cure::ShellVerdict& verdict, const TextOptions& options);

/// Why an earlier coat stands against a cycle, in lower case and without a full stop.
[[nodiscard]] std::string reason_text(const plan::CoatOverBaked& coat, const Units& units);

}  // namespace bakewright::report
