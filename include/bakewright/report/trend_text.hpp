#pragma once

#include <string>
#include <vector>

#include "bakewright/report/json.hpp"
#include "bakewright/report/text.hpp"
#include "bakewright/tune/trend.hpp"

namespace bakewright::report {

/// The bakes by date, the trend of each quantity, and in plain words what drifts.
[[nodiscard]] std::string trend_text(const tune::BoothTrend& trend, const TextOptions& options);
/// One sentence a trend that is told; one that nothing drifts where there is none.
[[nodiscard]] std::vector<std::string> trend_sentences(const tune::BoothTrend& trend, const Units& units);
/// A document of format bakewright.trend.
[[nodiscard]] Json document_of(const tune::BoothTrend& trend);

}  // namespace bakewright::report
