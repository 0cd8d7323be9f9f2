// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace bakewright::probe {

/// A start time as ResolvedTimes and TraceSet write it.
struct StartTime {
    std::int64_t local_s = 0;  ///< of the clock as it is written, since 1970-01-01
    double fraction_s = 0.0;
    std::optional<int> zone_minutes;

    /// Since 1970-01-01 of the zone, or of the local clock where none is told [s].
    [[nodiscard]] double instant_s() const noexcept {
        return static_cast<double>(local_s - 60 * zone_minutes.value_or(0)) + fraction_s;
    }
};

/// Nothing where the text is empty or no date with a time of day.
[[nodiscard]] std::optional<StartTime> read_start_time(std::string_view iso);

/// The start moved by seconds; an empty text stays empty.
[[nodiscard]] std::string moved_start(const std::string& started_at, double by_s);

}  // namespace bakewright::probe
