// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/base/trace.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/report/live.hpp"
#include "bakewright/tune/estimate.hpp"
#include "bakewright/tune/phases.hpp"

namespace bakewright::services {

/// What warnings are read from.
struct LiveFindings {
    const report::LiveState& state;  ///< filled but for its warnings
    const TraceSet& log;             ///< so far
    const cure::Coating& coating;
    const TraceSet& likeliest;  ///< course of every zone so far, as estimated
    const std::vector<tune::ChannelFinding>& channels;
    const std::vector<tune::PhaseSpan>& phases;
    std::optional<double> heat_due_s{};    ///< when the cycle has the heat come on
    std::optional<double> high_limit_k{};  ///< the booth's own
    double ambient_k = 0.0;
};

/// Every warning that stands now, most urgent first. Pure: nothing is remembered.
[[nodiscard]] std::vector<report::LiveWarning> standing_warnings(const LiveFindings& findings);

/// A channel that gave nothing for so long while others did is lost [s]; common practice, no source.
inline constexpr double kLostProbeS = 60.0;

/// Remembers warnings: each is raised once, and cleared when it has not stood for two updates in a row, so that one at its edge
/// does not come and go.
class WarningBoard {
public:
    /// @return those that were raised or cleared by this update
    std::vector<report::LiveWarning> take(std::vector<report::LiveWarning> standing, double now_s);
    /// Those that stand, most urgent first.
    [[nodiscard]] std::vector<report::LiveWarning> standing() const;

private:
    struct Raised {
        report::LiveWarning warning;
        int missed = 0;
    };
    std::vector<Raised> raised_;
};

}  // namespace bakewright::services
