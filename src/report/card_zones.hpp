// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>

#include "bakewright/report/bake_card.hpp"

namespace bakewright::report {

/// The coated zone of the shell that got the smallest dose; null where none was judged. It points into the card.
[[nodiscard]] const cure::ZoneVerdict* slowest_zone(const BakeCard& card);

/// When that zone's longest stay at the temperature of its schedule begins; nothing where it never gets there.
[[nodiscard]] std::optional<double> clock_starts_s(const BakeCard& card);

/// Where the hold is set: what the card is first read for; null without a hold.
[[nodiscard]] const bake::ResolvedStage* last_hold(const BakeCard& card);

/// "18:40" by the clock, else "1:25" since the start.
[[nodiscard]] std::string time_on_card(const BakeCard& card, double time_s);

}  // namespace bakewright::report
