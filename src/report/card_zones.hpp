#pragma once

#include <optional>

#include "bakewright/report/bake_card.hpp"

namespace bakewright::report {

/// The coated zone of the shell that got the smallest dose; null where none was judged. It points into the card.
[[nodiscard]] const cure::ZoneVerdict* slowest_zone(const BakeCard& card);

/// When that zone first reaches the temperature of its schedule; nothing where it never does.
[[nodiscard]] std::optional<double> clock_starts_s(const BakeCard& card);

}  // namespace bakewright::report
