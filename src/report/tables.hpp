// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/bake/cycle.hpp"
#include "bakewright/bake/predict.hpp"
#include "bakewright/base/format.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/cure/history.hpp"
#include "bakewright/cure/verdict.hpp"
#include "bakewright/report/table.hpp"
#include "bakewright/tune/compare.hpp"

namespace bakewright::report {

/// The tables that people read, set as text by Table::text() and as HTML by html_report(). Every head carries its unit.
/// Zone, kind, peak, when, when it arrives near the hold (see zone_summary.hpp), largest rise over one minute.
[[nodiscard]] Table zone_table(const TraceSet& traces, const std::vector<bake::ResolvedStage>& stages, const Units& units);

/// Zone, word, equivalent minutes against what is asked, longest stay at temperature, peak; the reason under each. Worst first.
[[nodiscard]] Table verdict_table(const cure::BakeVerdict& verdict, const Units& units);

/// Item, word, peak, when, time at or above each limit against what is allowed; the reason under each. Worst first.
[[nodiscard]] Table item_table(const cure::BakeVerdict& verdict, const Units& units);

/// Stage, set point, length, from and until since the start, and by the clock where started_at is known.
/// @param booth_purges  the booth sees to its vapour purge itself: a row says so
[[nodiscard]] Table cycle_table(const std::vector<bake::ResolvedStage>& stages, const Units& units,
                                std::string_view started_at = {}, bool booth_purges = false);

/// Channel, samples, bias, RMS, largest difference and when, lag and what is left after it. Largest RMS first.
[[nodiscard]] Table comparison_table(const tune::Comparison& comparison, const Units& units);

/// "ramp", "flash-off", ... as the trade says it.
[[nodiscard]] std::string_view stage_words(bake::StageKind kind) noexcept;
/// How much a verdict's word asks to be seen.
[[nodiscard]] Mark mark_of(cure::Word word) noexcept;
/// The word, marked.
[[nodiscard]] Cell word_cell(cure::Word word);
/// Sentences on traces of one side only; empty where each found its partner.
[[nodiscard]] std::vector<std::string> unmatched_sentences(const tune::Comparison& comparison);
/// One sentence a zone that was split through its thickness, and why.
[[nodiscard]] std::vector<std::string> split_sentences(const std::vector<bake::SplitZone>& splits);
/// Which temperature the schedule means and which activation energy was used, then the verdict's own remarks.
[[nodiscard]] std::vector<std::string> verdict_sentences(const cure::BakeVerdict& verdict);
/// The worst place first: "UNDER: left sill. 18.0 min in one stay ...".
[[nodiscard]] std::string worst_place_sentence(const cure::BakeVerdict& verdict, const Units& units);
/// One sentence a warning on flash-off and heating rate: "Heated too fast: roof skin rose by ...".
[[nodiscard]] std::vector<std::string> warning_sentences(const cure::BakeVerdict& verdict, const Units& units);
/// One sentence a zone on its degree of cure by the coating's rate law; empty where it has none.
[[nodiscard]] std::vector<std::string> conversion_sentences(const cure::BakeVerdict& verdict, const Units& units);
/// The zones that are too close to call, with what would settle them; how sure the others are; what that rests on. Empty where no
/// certainty was calculated.
[[nodiscard]] std::vector<std::string> certainty_sentences(const cure::BakeVerdict& verdict, const Units& units);
/// The same for a shell's history, coat by coat; of each coat the least sure zones, or every one that is in doubt.
[[nodiscard]] std::vector<std::string> certainty_sentences(const cure::ShellVerdict& verdict, const Units& units,
                                                           bool every_zone);
/// What has to be answered before the verdict can be trusted.
[[nodiscard]] std::vector<std::string> question_sentences(const cure::BakeVerdict& verdict);
/// What starts in lower case and has no full stop, made a sentence. A first letter outside ASCII stays as it is.
[[nodiscard]] std::string as_sentence(std::string text);

/// What a reader wants to know of one trace without looking at its curve.
struct ZoneSummary {
    std::string name;
    TraceRole role = TraceRole::unmapped;
    double peak_temperature_k = 0.0;              ///< NaN for a trace without usable samples
    double peak_at_s = 0.0;                       ///< NaN likewise
    double end_temperature_k = 0.0;               ///< of the last usable sample; NaN likewise
    std::optional<double> reached_at_s;           ///< first moment at or above the temperature asked about
    std::optional<double> steepest_rate_k_per_s;  ///< largest rise over one minute; absent for shorter traces
};

/// How far under the highest hold a zone counts as arrived [K]. Common practice, no source.
inline constexpr double kArrivedBelowHoldK = 5.0;

/// The highest set point held in a cycle, less kArrivedBelowHoldK; of any stage where nothing is held. Nothing without stages.
[[nodiscard]] std::optional<double> arrival_temperature_k(const std::vector<bake::ResolvedStage>& stages);

/// One summary a trace: booth air and walls first, then zones and panels with the last to arrive first, then the rest as given.
[[nodiscard]] std::vector<ZoneSummary> summarize(const TraceSet& traces, std::optional<double> arrival_k);

}  // namespace bakewright::report
