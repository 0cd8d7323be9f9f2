#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "bakewright/bake/predict.hpp"
#include "bakewright/base/format.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/cure/verdict.hpp"
#include "bakewright/report/table.hpp"
#include "bakewright/tune/compare.hpp"

/// What commands print for people: titled blocks of tables and sentences, each ended by '\n', without one before the first.
namespace bakewright::report {

struct TextOptions {
    Units units{};
    TextStyle style{};
};

/// The cycle, the zone table and the zones that were split.
[[nodiscard]] std::string prediction_text(const bake::Prediction& prediction, const TextOptions& options);
/// The worst place, the verdict table, the item table and what was taken for granted.
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

}  // namespace bakewright::report
