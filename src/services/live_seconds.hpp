// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/cure/coating.hpp"
#include "bakewright/report/live.hpp"
#include "bakewright/services/live_judging.hpp"
#include "bakewright/services/stored_bake.hpp"
#include "bakewright/tune/linear_forecast.hpp"

/// How a bake stands from one second to the next, between its full estimates.
namespace bakewright::services {

/// Moves a state by the linear form of its forecast. Temperatures, credit, the minutes of zones and limits move, and with them
/// the minute for heat off; words, chances, phase and warnings stay those of the estimate: they are told of full simulated bakes
/// alone. To be used from one thread at a time.
class LiveSeconds {
public:
    /// @param state  of the estimate that the forecast was made from @throws SolveError
    LiveSeconds(const StoredBake& bake, const tune::Forecast& forecast, tune::ForecastTraces on, report::LiveState state);

    /// How it stands by what was read since; nothing where nothing was, or the estimate is too old (tune::kLinearForS).
    /// @param recent  by the names of the log; readings that the estimate heard are passed over
    [[nodiscard]] std::optional<report::LiveState> at(const TraceSet& recent);

private:
    /// @param cured_s  of each coated zone, by member
    void move_place(report::LivePlace& place, const std::vector<std::vector<double>>& cured_s, double now_s) const;
    void move_heat_off(report::LiveState& state, const std::vector<std::vector<double>>& cured_s) const;
    [[nodiscard]] std::vector<std::vector<double>> cured_by_zone() const;

    cure::Coating coating_;
    LiveSheet sheet_;
    cure::CureWindow window_;
    report::LiveState state_;
    std::optional<report::LiveState> judged_{};  ///< as credit and minutes were moved last
    double all_cured_s_ = kNeverS;               ///< kSure of it, at the estimate
    tune::LinearForecast forecast_;
};

/// Takes up what is newer than what is there, and forgets what is older than tune::kLinearForS and a little.
void add_recent(TraceSet& recent, const TraceSet& fresh);

}  // namespace bakewright::services
