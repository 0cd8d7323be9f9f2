#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/bake/cycle.hpp"
#include "bakewright/base/trace.hpp"

namespace bakewright::report {

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
