// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "bakewright/report/json.hpp"
#include "bakewright/report/table.hpp"
#include "bakewright/report/text.hpp"
#include "bakewright/tune/tune.hpp"

namespace bakewright::report {

/// What was learned, how far predictions are off with and without the logs, probes, and what could not be told.
[[nodiscard]] std::string tuning_text(const tune::TuneResult& result, const TextOptions& options);
/// Over the table of the numbers.
inline constexpr const char* kTunedNumbersTitle = "What was learned (a factor on what the profiles say, or so much warmer)";
/// The parts of it: numbers with their ranges, errors by bake, probes, what the logs could not tell apart.
[[nodiscard]] Table tuned_number_table(const tune::TuneResult& result, const Units& units);
[[nodiscard]] Table tuning_error_table(const tune::TuneResult& result, const Units& units);
[[nodiscard]] Table tuned_probe_table(const tune::TuneResult& result, const Units& units);
[[nodiscard]] std::vector<std::string> untold_sentences(const tune::TuneResult& result);
/// How far predictions were off, are off, and are off on what was held out; empty where nothing was used.
[[nodiscard]] std::string tuning_sentence(const tune::TuneResult& result, const Units& units);
/// What may be tuned, as a shop would say it.
[[nodiscard]] std::string_view tunable_words(tune::Tunable tunable) noexcept;

/// One sentence a channel that was left out, with the number behind it.
[[nodiscard]] std::vector<std::string> suspect_sentences(const std::vector<tune::ChannelFinding>& suspects, const Units& units);
/// @param shell_name, booth_name  as kept in the book; empty where they were not
[[nodiscard]] Json document_of(const tune::TuneResult& result, const std::string& shell_name, const std::string& booth_name);

}  // namespace bakewright::report
