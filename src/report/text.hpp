// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/bake/predict.hpp"
#include "bakewright/base/format.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/cure/verdict.hpp"
#include "bakewright/report/table.hpp"
#include "bakewright/tune/compare.hpp"

namespace bakewright::report {

/// What commands print for people: titled blocks of tables and sentences, each ended by '\n', without one before the first.
struct TextOptions {
    Units units{};
    TextStyle style{};
};

/// The cycle, the zone table and the zones that were split.
[[nodiscard]] std::string prediction_text(const bake::Prediction& prediction, const TextOptions& options);
/// The worst place, the verdict table, the item table and what is assumed.
[[nodiscard]] std::string verdict_text(const cure::BakeVerdict& verdict, const TextOptions& options);
[[nodiscard]] std::string comparison_text(const tune::Comparison& comparison, const TextOptions& options);
[[nodiscard]] std::string cycle_text(const std::vector<bake::ResolvedStage>& stages, const TextOptions& options,
                                     std::string_view started_at = {}, bool booth_purges = false);
/// A text wrapped to the width, as a paragraph of its own.
[[nodiscard]] std::string paragraph_text(const std::string& text, const TextOptions& options);
[[nodiscard]] std::string cautions_text(const TextOptions& options);
/// A table under a title; empty for an empty table.
[[nodiscard]] std::string table_block(std::string_view title, const Table& table, const TextOptions& options);
/// Sentences as a list under a title; empty for an empty list.
[[nodiscard]] std::string list_text(std::string_view title, const std::vector<std::string>& sentences,
                                    const TextOptions& options);

/// Blocks with one blank line between them; empty ones are passed over.
[[nodiscard]] std::string joined_blocks(std::initializer_list<std::string> blocks);

/// "2026-03-07 14:05" from "2026-03-07T14:05:09Z".
[[nodiscard]] std::string minute_text(const std::string& stamp);

/// Time since the start of a bake as hours and minutes, rounded to the minute: "0:45", "12:05", "-0:03"; "n/a" where not finite.
[[nodiscard]] std::string elapsed_text(double time_s);

/// Minutes since midnight of an ISO 8601 time such as "2026-03-04T14:05" or "2026-03-04 14:05:30+01:00"; nothing for any other
/// text.
[[nodiscard]] std::optional<int> clock_minutes(std::string_view started_at) noexcept;

/// What the shop's clock shows so long after the start: "18:40", the next day "01:10 (+1 day)"; empty where the start is unknown.
/// Summer-time changes during a bake are not known to it.
[[nodiscard]] std::string clock_text(std::string_view started_at, double time_s);

/// A sentence with its temperatures, differences and rates in the user's degrees: what a profile or a source says in °C is read
/// in °F by who works in °F. Without a change for everybody else.
[[nodiscard]] std::string in_degrees_of(std::string text, const Units& units);

/// Numbers for table cells, whose heads carry the unit. "n/a" for a value that is not finite.
[[nodiscard]] std::string fixed(double value, int decimals);
[[nodiscard]] std::string temperature_number(double temperature_k, const Units& units, int decimals = 1);
[[nodiscard]] std::string difference_number(double difference_k, const Units& units, int decimals = 1);
[[nodiscard]] std::string minutes_number(double time_s, int decimals = 1);
/// The unit of a difference in the user's degrees: "K" or "°F".
[[nodiscard]] std::string difference_symbol(const Units& units);

}  // namespace bakewright::report
