// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "bakewright/cure/verdict.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/table.hpp"
#include "bakewright/report/text.hpp"
#include "bakewright/tune/causes.hpp"
#include "bakewright/tune/compare.hpp"

namespace bakewright::report {

/// What stands above the table wherever it is shown.
inline constexpr std::string_view kAgreementCaption = "Within what probe and model may be off";

/// By channel: how many samples are inside, what probe, attachment and model may be off, the largest difference beyond and when.
[[nodiscard]] Table agreement_table(const tune::Agreement& agreement, const Units& units);
/// Which channels agree and which do not; what the table rests on. Empty where no channel was compared.
[[nodiscard]] std::vector<std::string> agreement_sentences(const tune::Agreement& agreement, const Units& units);
[[nodiscard]] std::string agreement_text(const tune::Agreement& agreement, const TextOptions& options);
[[nodiscard]] Json json_of(const tune::Agreement& agreement);

/// A table of differences by channel and stage; empty where there are none.
[[nodiscard]] std::string stage_difference_text(const std::vector<tune::StageDifference>& differences,
                                                const TextOptions& options);
[[nodiscard]] Json json_of(const std::vector<tune::StageDifference>& differences);

/// "air 0.85 times as strong as stated: explains 92 % of the difference (mean square)"
[[nodiscard]] std::string cause_sentence(const tune::Cause& cause, const Units& units);
/// One sentence a cause.
[[nodiscard]] std::string cause_text(const std::vector<tune::Cause>& causes, const TextOptions& options);
[[nodiscard]] Json json_of(const std::vector<tune::Cause>& causes);

/// The words of a prediction and its log side by side, zone by zone and item by item, with how sure each is, dose and peak. Where
/// the words differ the row is marked; what only one of them has is "n/a" on the other side.
[[nodiscard]] Table verdict_pair_table(const cure::BakeVerdict& predicted, const cure::BakeVerdict& logged, const Units& units);
[[nodiscard]] std::string verdict_pair_text(const cure::BakeVerdict& predicted, const cure::BakeVerdict& logged,
                                            const TextOptions& options);

}  // namespace bakewright::report
