// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "bakewright/bake/predict.hpp"
#include "bakewright/base/format.hpp"
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

/// What the burner and the booth's air did, as sentences: where the heat went, how long the burner was at its limits, how far the
/// air fell behind its set point. Empty for an ideal booth.
[[nodiscard]] std::vector<std::string> booth_run_sentences(const bake::Prediction& prediction, const Units& units);

}  // namespace bakewright::report
