// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "columns.hpp"
#include "layout.hpp"

namespace bakewright::probe {

/// The times of rows that tell none, from the lines above the headings: "Interval: 10 s", "Start: 2026-11-24 23:59:50".
struct TimesAbove {
    double interval_s = 0.0;  ///< > 0
    std::string interval_line;
    std::string started_at;  ///< ISO 8601; empty where no line says it, or where it can mean two things
};

/// Nothing where no line says an interval, and where some column tells the time.
[[nodiscard]] std::optional<TimesAbove> times_above(const std::vector<Column>& columns, const Layout& layout);

/// The text with a first column of times, as many intervals as rows of data stand before: every line is where it was. Lines of
/// words among the rows have none, so that they are read as notes.
[[nodiscard]] std::string with_times(std::string_view text, const Layout& layout, double interval_s);

}  // namespace bakewright::probe
