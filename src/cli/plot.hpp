#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/base/trace.hpp"
#include "options.hpp"

namespace bakewright::cli {

/// Adds --plot.
void describe_plot(Options& options);

/// The small temperature plot where --plot asks for it, with an empty line after it; otherwise nothing. Braille characters where
/// the locale is UTF-8, else ASCII alone.
[[nodiscard]] std::string asked_plot(const Options& options, const TraceSet& traces, const std::vector<std::string>& coated_zones,
                                     std::optional<double> level_k = std::nullopt);

}  // namespace bakewright::cli
