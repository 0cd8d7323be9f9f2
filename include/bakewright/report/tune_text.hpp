#pragma once

#include <string>
#include <vector>

#include "bakewright/report/json.hpp"
#include "bakewright/report/text.hpp"
#include "bakewright/tune/tune.hpp"

namespace bakewright::report {

/// What was learned, how far predictions are off with and without the logs, probes, and what could not be told.
[[nodiscard]] std::string tuning_text(const tune::TuneResult& result, const TextOptions& options);
/// One sentence a channel that was left out, with the number behind it.
[[nodiscard]] std::vector<std::string> suspect_sentences(const std::vector<tune::Suspect>& suspects, const Units& units);
/// @param shell_name, booth_name  as kept in the book; empty where they were not
[[nodiscard]] std::string to_json_text(const tune::TuneResult& result, const std::string& shell_name,
                                       const std::string& booth_name, const JsonOptions& options = {});

}  // namespace bakewright::report
