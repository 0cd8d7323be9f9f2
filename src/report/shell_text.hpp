// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "bakewright/base/format.hpp"
#include "bakewright/book/identity_repository.hpp"
#include "bakewright/book/shell_history_repository.hpp"
#include "bakewright/cure/history.hpp"
#include "bakewright/plan/plan.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/table.hpp"
#include "bakewright/report/text.hpp"

namespace bakewright::report {

/// What a shell's history and its judgement look like.
/// One row a coat, in the order sprayed: the worst word of its zones, how many zones have which word, the worst zone and what it
/// is worth, when the whole coat was cured. Below it the reason (since when it is past its maximum, too), unless all is GOOD.
[[nodiscard]] Table coat_table(const cure::ShellVerdict& verdict, const Units& units);
/// One row a coat and zone.
[[nodiscard]] Table coat_zone_table(const cure::ShellVerdict& verdict, const Units& units);
/// One row an item, worst first: bakes aboard, peak, exposure against its limits.
[[nodiscard]] Table item_history_table(const cure::ShellVerdict& verdict, const Units& units);
/// What has to come out, named before the bake.
[[nodiscard]] std::vector<std::string> removal_sentences(const cure::ShellVerdict& verdict, const Units& units);

/// Recoat windows and flash-offs that were not kept.
[[nodiscard]] std::vector<std::string> window_sentences(const cure::ShellVerdict& verdict);
/// What must be answered before any of it is trusted, each after "CHECK: ".
[[nodiscard]] std::vector<std::string> question_sentences(const cure::ShellVerdict& verdict);
/// What the judgement of a history assumes.
[[nodiscard]] std::vector<std::string> remark_sentences(const cure::ShellVerdict& verdict);

[[nodiscard]] std::string coats_text(const std::vector<book::StoredCoat>& coats, const TextOptions& options);
[[nodiscard]] std::string vehicles_text(const std::vector<book::Vehicle>& vehicles, const TextOptions& options);
[[nodiscard]] std::string history_text(const std::vector<book::HistoryEntry>& entries, const TextOptions& options);

[[nodiscard]] Json document_of(const cure::ShellVerdict& verdict);
[[nodiscard]] Json document_of(const std::vector<book::StoredCoat>& coats);
[[nodiscard]] Json document_of(const std::vector<book::Vehicle>& vehicles);
[[nodiscard]] Json document_of(const std::vector<book::HistoryEntry>& entries);

/// What a shell's coats and items have left after a history: of each coat the zone that has used most of its longest time, of
/// each item every lifetime limit. A coat without a maximum time says so.
[[nodiscard]] Table remaining_table(const cure::ShellVerdict& verdict, const Units& units);
[[nodiscard]] std::string remaining_text(const cure::ShellVerdict& verdict, const TextOptions& options);

/// Why an earlier coat stands against a cycle, in lower case and without a full stop.
[[nodiscard]] std::string reason_text(const plan::CoatOverBaked& coat, const Units& units);

}  // namespace bakewright::report
